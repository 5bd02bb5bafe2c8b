"""Tanks, kits, probes and rooms drawn at random, with a chemistry written apart from the package's own.

Constants are those of Millero (1979), activities the extended Debye-Hückel law with one ion size, and the
pH is found by bisection. Only the colour of the dye is rendered with the package, since the question here
is whether bands hold, not whether green looks green.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.indicator import HueScale
from fizzwright.inference.fusion import (
    AiredReading,
    BesideCarbonate,
    CheckerReading,
    KitKh,
    ProbeReading,
    Readings,
    RoomAirReading,
    SaltSide,
)

MEQ_PER_DKH = 0.356650
CO2_G = 44.0095


@dataclass(frozen=True)
class Kind:
    """One sort of water: limits of its KH, and what a kit counts beside."""

    kh: tuple[float, float]
    hard_share: tuple[float, float]
    doc: tuple[float, float] = (0.0, 0.0)
    phosphate: tuple[float, float] = (0.0, 0.0)


KINDS = {
    "soft": Kind((0.3, 2.5), (0.0, 0.5)),
    "medium": Kind((2.5, 7.0), (0.2, 0.9)),
    "hard": Kind((7.0, 16.0), (0.5, 1.0)),
    "tinted": Kind((0.5, 4.0), (0.0, 0.6), doc=(3.0, 15.0)),
    "buffered": Kind((1.0, 6.0), (0.0, 0.6), phosphate=(20.0, 100.0)),
}


@dataclass(frozen=True)
class Tank:
    """The truth."""

    kh: float
    co2: float
    warmth: float
    strength: float
    calcium: float
    doc: float
    phosphate: float


def constants(warmth: float, strength: float) -> tuple[float, float, float]:
    """K1, K2 and Kw against activity of hydrogen, after Millero (1979)."""
    t = warmth + 273.15
    k1 = math.exp(290.9097 - 14554.21 / t - 45.0575 * math.log(t))
    k2 = math.exp(207.6548 - 11843.79 / t - 33.6485 * math.log(t))
    kw = math.exp(148.9802 - 13847.26 / t - 23.6521 * math.log(t))
    root = math.sqrt(strength)
    one = 10.0 ** (-0.509 * root / (1.0 + 1.4 * root))
    return k1 / one, k2 * one / one**4, kw / one


def acidity(kh: float, co2: float, tank: Tank) -> float:
    """The pH at which a KH and a CO2 go together."""
    k1, k2, kw = constants(tank.warmth, tank.strength)
    held = 1.0 + 10.0**1.1 * 0.6 * tank.calcium / 1000.0
    low, high = 4.0, 10.5
    for _ in range(45):
        ph = 0.5 * (low + high)
        acid = 10.0**-ph
        hco3 = co2 / CO2_G / 1000.0 * k1 / acid * held
        alk = hco3 * (1.0 + 2.0 * k2 / acid) + kw / acid - acid
        low, high = (ph, high) if alk < kh * MEQ_PER_DKH / 1000.0 else (low, ph)
    return 0.5 * (low + high)


def beside(tank: Tank, ph: float, rng: np.random.Generator) -> float:
    """What a kit counts beside carbonate, in dKH: phosphate between its steps, tannins by one of two sets."""
    root = math.sqrt(tank.strength)
    second = 7.207 - 3.0 * 0.509 * root / (1.0 + 1.4 * root)
    share = 1.0 / (1.0 + 10.0 ** (second - ph))
    phosphate = tank.phosphate / 94.97 * (share + 0.004)
    # Tannins: 3 to 6 microequivalents a milligram over a kit's range, more at a higher pH.
    tannin = tank.doc * (2.3e-3 + 1.3e-3 * (ph - 6.0)) * math.exp(rng.normal(0.0, 0.2))
    return (phosphate + max(tannin, 0.0)) / MEQ_PER_DKH


def end_point(tank: Tank, rng: np.random.Generator) -> float:
    """What a titration is off by, in dKH, for a colour that turns at pH 4.4 to 5 over some kept CO2."""
    acid = 10.0 ** -rng.uniform(4.4, 5.0)
    carbon = tank.kh * MEQ_PER_DKH + tank.co2 / CO2_G
    left = constants(tank.warmth, tank.strength)[0] / acid
    return (1000.0 * acid - rng.uniform(0.0, 0.4) * carbon * left / (1.0 + left)) / MEQ_PER_DKH


def drawn_tank(kind: Kind, rng: np.random.Generator) -> Tank:
    kh = rng.uniform(*kind.kh)
    alk = kh * MEQ_PER_DKH
    calcium = 0.5 * alk * rng.uniform(*kind.hard_share)
    others = rng.uniform(0.0, 1.5)
    strength = (alk + calcium + others) / 1000.0
    return Tank(
        kh=kh,
        co2=math.exp(rng.uniform(math.log(4.0), math.log(45.0))),
        warmth=rng.uniform(21.0, 28.0),
        strength=strength,
        calcium=calcium,
        doc=rng.uniform(*kind.doc),
        phosphate=rng.uniform(*kind.phosphate),
    )


def kit_reading(counted: float, rng: np.random.Generator) -> KitKh:
    """A drop kit of one or half a degree, a card of half degrees, or a fine titration."""
    sort = rng.integers(4)
    if sort < 2:
        step = (1.0, 0.5)[sort]
        drops = max(math.ceil(counted / step), 1) * step
        return KitKh(drops - step, drops)
    step = (0.5, 0.1)[sort - 2]
    mark = max(round(counted / step), 0.0) * step
    return KitKh(max(mark - 0.5 * step, 0.0), mark + 0.5 * step)


def air_level(ppm: float, warmth: float) -> float:
    """CO2 the air leaves, by the volumetric form of Weiss (1974) and the vapour of Weiss & Price (1980)."""
    t = warmth + 273.15
    solubility = math.exp(-58.0931 + 90.5069 * 100.0 / t + 22.2940 * math.log(t / 100.0))
    vapour = math.exp(24.4543 - 67.4509 * 100.0 / t - 4.8489 * math.log(t / 100.0))
    return solubility * 0.997 * ppm * 1e-6 * (1.0 - vapour) * 1000.0 * CO2_G


def readings_of(tank: Tank, rng: np.random.Generator, scale: HueScale) -> Readings:
    """What a keeper reads of a tank with ordinary tools, some of them at random."""
    ph = acidity(tank.kh, tank.co2, tank)
    offset = rng.normal(0.0, 0.05)
    counted = max(
        (tank.kh + beside(tank, ph, rng) + end_point(tank, rng)) * (1.0 + rng.normal(0.0, 0.01)), 0.02
    )
    aired, room = None, RoomAirReading()
    if rng.random() < 0.4:
        ppm = math.exp(rng.normal(math.log(700.0), 0.38))
        settled = acidity(tank.kh, air_level(ppm, tank.warmth), tank)
        aired = AiredReading(settled - rng.uniform(0.0, 0.04) + offset + rng.normal(0.0, 0.02))
        if rng.random() < 0.5:
            room = RoomAirReading(max(ppm * (1.0 + rng.normal(0.0, 0.03)) + rng.normal(0.0, 50.0), 250.0))
    checkers = ()
    if rng.random() < 0.3:
        dye = rng.normal(7.245, 0.08)
        own = 4.0 * (1.0 + rng.normal(0.0, 0.05))
        liquid = acidity(own, tank.co2, Tank(own, 0.0, tank.warmth, 0.0014, 0.0, 0.0, 0.0))
        checkers = (CheckerReading(float(scale.hue_at_deg(liquid - dye)) + rng.normal(0.0, 10.0)),)
    conductivity = None
    if rng.random() < 0.5:
        conductivity = tank.strength / rng.uniform(0.95e-5, 1.45e-5)
    return Readings(
        water_c=tank.warmth + rng.normal(0.0, 0.5),
        kits=(kit_reading(counted, rng),),
        probe=ProbeReading(ph + offset + rng.normal(0.0, 0.02)),
        aired=aired,
        room=room,
        checkers=checkers,
        beside=BesideCarbonate(
            phosphate_mg_l=max(tank.phosphate * (1.0 + rng.normal(0.0, 0.2)), 0.0),
            tint_doc_mg_l=max(tank.doc * (1.0 + rng.normal(0.0, 0.3)), 0.0),
        ),
        salts=SaltSide(ec_us_cm=conductivity),
    )
