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
"""

BENCH_RUNS: list[list[str]] = [shlex.split(line) for line in LINES.strip().splitlines()]
