"""Command lines of every single sum, through the branches that matter, without `fizzwright bench`."""

from __future__ import annotations

import shlex

LINES = """
count --rate 2/s
count --rate 2/s --tip 3mm --line-gauge 1bar
count --rate 120/min --tip 3mm --fluid glycerol --line-gauge 14psi
count --rate 1/s --mg-per-bubble 0.12mg
count --rate 1/s --mg-per-bubble 0.12mg --line-gauge 1bar --calibration-gauge 1.5bar
count --rate 25/s --tip 1mm
tube --material silicone --length 2m --bore 4mm --outer 6mm --gauge 1.5bar
tube --material polyurethane --length 6ft --bore 4mm --outer 6mm --gauge 30psi --feed 600mg/h
bottle --charge 2kg --gauge 50bar
bottle --charge 2kg --gauge 30bar --temp 18C
bottle --capacity 2.7l --gauge 40bar --temp 25C
bottle --charge 2kg --gauge 110bar --temp 40C
bottle --charge 500g --gross 3kg --tare 2.8kg
bottle --charge 2kg --gross 6kg --tare 4kg --gauge 57bar
leak --volume 20mL --drop 0.1bar --minutes 60min --gauge 2bar
leak --volume 20mL --drop 2psi --minutes 2h --gauge 30psi --temp-start 21C --temp-end 20C --tube-loss 2mg/h
room --release 2kg --volume 40m3
room --release 500g --volume 30m3 --hours 6h --air-changes 0.3/h
room --release 10g --volume 60m3
co2 --ph 6.6 --kh 4dKH --temp 25C
co2 --ph 6,6 --kh 71ppmCaCO3 --temp 77F --ec 250uS/cm
co2 --ph 6.4 --kh 2dKH --temp 24C --tds 160ppm --gh 6dGH --phosphate 2mg/L --tint-doc 3mg/L
co2 --ph 6.9 --kh 6dKH --temp 24C --drop-kit --kit-step 0.5dKH --ph-error 0.1
co2 --ph 8.6 --kh 8dKH --temp 27C
co2 --ph 5.6 --kh 0.5dKH --temp 22C --phosphate 20mg/L --tint-doc 10mg/L
ph --co2 20mg/L --kh 4dKH --temp 25C
ph --co2 20mg/L --kh 4dKH --temp 25C --ec 400uS/cm --gh 8dGH --co2-error 3mg/L
ph --co2 30mg/L --kh 1dKH --temp 24C --tds 100ppm
air --temp 25C
air --temp 25C --room-co2 800ppm --altitude 1500m --kh 4dKH
air --temp 20C --room-co2 600ppm --kh 3dKH --ec 200uS/cm --drop-kit
oxygen --temp 25C
oxygen --temp 25C --altitude 2000ft --o2 7mg/L
oxygen --temp 24C --o2 11mg/L
bubble --diameter 1mm --depth 30cm --temp 25C --co2 20mg/L
bubble --diameter 1mm --depth 30cm --temp 25C --co2 20mg/L --water contaminated
bubble --diameter 2mm --depth 15in --temp 77F --co2 30mg/L --water tap --altitude 500m
bubble --diameter 0.3mm --depth 50cm --temp 24C --co2 10mg/L --water clean
strip --air-flow 100L/h --volume 100L --depth 30cm --diameter 3mm
strip --air-flow 20L/h --volume 200L --depth 40cm --diameter 1mm --temp 28C
"""

BENCH_RUNS: list[list[str]] = [shlex.split(line) for line in LINES.strip().splitlines()]
