"""Command lines of every single sum, through the branches that matter, without `fizzwright bench`."""

from __future__ import annotations

import shlex

LINES = r"""
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
leak --volume 8mL --drop 0.5bar --minutes 14h --gauge 50bar --side high --temp-end 19C --drop-error 0.5bar
room --release 2kg --volume 40m3
room --release 500g --volume 30m3 --hours 6h --air-changes 0.3/h
room --release 10g --volume 60m3
room --release 2kg --volume 3m3 --place car --country Germany
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
air --temp 25C --room-co2 600ppm --kh 8dKH --lid-loss 200mg/h --aired-way stood --aired-hours 24h
oxygen --temp 26C --o2 12mg/L --co2 25mg/L --depth 20cm --n2-saturation 105%
co2 --ph 6.5 --aired-ph 7.9 --temp 25C
co2 --ph 6.5 --aired-ph 7.9 --room-co2 600ppm --kh 3dKH --temp 25C --aired-hours 30min
co2 --ph 6.5 --kh 3dKH --temp 24C --checker-colour green --checker-hours 3h --second-hue 160
co2 --temp 24C --checker-hue 140 --checker-kh 5dKH
co2 --ph 6.6 --kh 4dKH --temp 25C --night-ph 7.5 --night-co2 3mg/L
co2 --ph 7.4 --kh 8dKH --temp 25C --ca 60mg/L --mg 10mg/L --na 20mg/L --cl 30mg/L --so4 40mg/L
co2 --ph 7.4 --kh 8dKH --temp 25C --silica 20mg/L --boron 0.5mg/L --ammonium-n 0.5mg/L
co2 --ph 6.6 --kh 6dKH --temp 25C --aired-ph 7.3 --room-co2 500ppm --ca 30mg/L --checker-colour blue --aired-hours 1h
drop --degassed-ph 7.9 --ph 6.6 --room-co2 600ppm --temp 25C
drop --degassed-ph 7.9 --ph 6.6 --temp 25C --kh 6dKH --aired-way stood --aired-hours 12h
drop --degassed-ph 7.4 --ph 6.5 --baseline-co2 3mg/L --temp 25C
checker --temp 25C --co2 30mg/L
checker --temp 25C --hue 140 --checker-kh 3dKH --second-kh 6dKH --second-hue 160
checker --temp 25C --colour blue --dye strong
checker --temp 25C --photo #7da23c --indicator-depth 7mm
mix --kh 4dKH --co2 30mg/L --temp 25C --volume 50L --new-kh 10dKH --new-co2 1mg/L --new-volume 50L
mix --kh 4dKH --ph 6.6 --temp 25C --volume 100L --new-kh 0.1dKH --new-volume 40L --change --loss 0.3/h --new-temp 18C
mix --kh 4dKH --ph 6.6 --temp 25C --volume 100L --new-kh 8dKH --new-ph 7.6 --new-ec 400uS/cm --ec 250uS/cm --new-volume 50L --change
salts --volume 50L --kh 3dKH --gh 6dGH
salts --volume 50L --kh 9dKH --gh 6dGH --kh-salt sodium --calcium-salt chloride --start-gh 2dGH
dose --substance potassium\ carbonate --mass 2.5g --volume 100L --kh 4dKH --co2 30mg/L --temp 25C
dose --substance hydrogen\ chloride --mass 1g --volume 100L --kh 4dKH --ph 6.6 --temp 25C
dose --substance sodium\ bicarbonate --mass 3g --volume 100L --kh 4dKH --co2 30mg/L --temp 25C
drift --kh 4dKH --co2 30mg/L --temp 25C --volume 200L --stone 0.1m2 --food 1g/day --nitrate-taken 20mg/L
drift --kh 4dKH --co2 20mg/L --temp 24C --volume 100L --kh-log 0:5,4:4,8:3
bubble --diameter 1mm --depth 30cm --temp 25C --co2 20mg/L
bubble --diameter 1mm --depth 30cm --temp 25C --co2 20mg/L --water contaminated
bubble --diameter 2mm --depth 15in --temp 77F --co2 30mg/L --water tap --altitude 500m
bubble --diameter 0.3mm --depth 50cm --temp 24C --co2 10mg/L --water clean
bubble --diameter 1mm --depth 30cm --temp 25C --co2 20mg/L --current -5cm/s
bubble --diameter 1.5mm --depth 30cm --temp 25C --co2 20mg/L --water tap --current 5cm/s --o2-saturation 1.5
strip --air-flow 100L/h --volume 100L --depth 30cm --diameter 3mm
strip --air-flow 20L/h --volume 200L --depth 40cm --diameter 1mm --temp 28C
"""

BENCH_RUNS: list[list[str]] = [shlex.split(line) for line in LINES.strip().splitlines()]
