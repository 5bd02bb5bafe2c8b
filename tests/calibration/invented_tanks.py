"""Tanks that are not ours: another integrator, another uptake, other draws, and instruments that err.

Nothing here calls the day engine. CO2 is one ordinary differential equation solved by SciPy's LSODA; uptake
is a product of a hyperbola in CO2 and a saturating light response with an afternoon sag; pH comes from the
constants of Harned & Davis 1943 with Davies activities. Readings carry a probe's offset, drift, noise and
rounding, a kit read up to its next drop, and a checker that lags.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field, replace

import numpy as np
from scipy.integrate import solve_ivp

LITRES_DKH_MEQ = 0.35665
CO2_G_MOL = 44.0095


@dataclass(frozen=True)
class Truth:
    """One invented tank; feeds are as set, `flow` is what really passes over what was set."""

    volume_l: float
    loss_per_h: float
    air_mg_l: float
    night_mg_h: float
    dawn_share: float
    uptake_mg_h: float
    half_mg_l: float
    sag: float
    dissolved: float
    flow: float
    kh_dkh: float
    water_c: float
    ionic: float
    light_on_h: float
    light_off_h: float
    offset_ph: float = 0.0
    drift_ph_day: float = 0.0
    noise_ph: float = 0.01
    wobble: float = 0.03
    seed: int = 0


@dataclass
class Doings:
    """What happens to a tank: gas spells (start, end, set feed), factors that change with time."""

    spells: list[tuple[float, float, float]] = field(default_factory=list)
    flow_at: object = None
    loss_at: object = None
    uptake_at: object = None
    leak_at: object = None
    kh_at: object = None
    offset_at: object = None
    dissolved_at: object = None


def _of(function, hour, default=1.0):
    return default if function is None else function(hour)


def smooth_wobble(rng, hours, size, scale_h=18.0):
    """A slow wandering factor around one, as knots and straight lines."""
    knots = np.arange(-scale_h, hours + 2 * scale_h, scale_h)
    return knots, np.exp(size * rng.standard_normal(len(knots)))


def run(truth: Truth, doings: Doings, hours: float, start_mg_l: float, step_h: float = 1 / 6):
    """CO2 of the tank at even steps. Returns hours and mg/L."""
    rng = np.random.default_rng(truth.seed)
    knots, loss_wobble = smooth_wobble(rng, hours, truth.wobble)
    _, uptake_wobble = smooth_wobble(rng, hours, 2 * truth.wobble, 24.0)
    _, air_wobble = smooth_wobble(rng, hours, 3 * truth.wobble, 8.0)
    knots_u = np.arange(-24.0, hours + 48.0, 24.0)
    knots_a = np.arange(-8.0, hours + 16.0, 8.0)
    lit_h = (truth.light_off_h - truth.light_on_h) % 24
    stiffness = _stiffness(truth)

    def rate(t, y):
        c = max(y[0], 0.0)
        since = (t - truth.light_on_h) % 24
        loss = truth.loss_per_h * np.interp(t, knots, loss_wobble) * _of(doings.loss_at, t)
        air = truth.air_mg_l * np.interp(t, knots_a, air_wobble)
        gas = sum(f for a, b, f in doings.spells if a <= t < b)
        gas *= truth.flow * _of(doings.flow_at, t) * truth.dissolved * _of(doings.dissolved_at, t)
        gas += _of(doings.leak_at, t, 0.0)
        if since < lit_h:
            light = min(1.0, since / 0.25, (lit_h - since) / 0.25)
            light *= 1 - truth.sag * min(max(since - 5, 0), 1)
            up = truth.uptake_mg_h * c / (c + truth.half_mg_l) * math.tanh(1.2 * light) / math.tanh(1.2)
            up *= np.interp(t, knots_u, uptake_wobble) * _of(doings.uptake_at, t)
            dark = truth.night_mg_h
        else:
            up = 0.0
            dark = truth.night_mg_h * (1 - (1 - truth.dawn_share) * (since - lit_h) / (24 - lit_h))
        return [((gas + dark - up) / truth.volume_l - loss * (c - air)) / stiffness(c)]

    edges = sorted({0.0, hours, *[e for a, b, _ in doings.spells for e in (a, b) if 0 < e < hours]})
    grid = np.arange(0, hours + 1e-9, step_h)
    out_t, out_c, level = [], [], start_mg_l
    for a, b in itertools.pairwise(edges):
        at = grid[(grid >= a - 1e-9) & (grid < b - 1e-9)]
        if b == edges[-1]:
            at = grid[grid >= a - 1e-9]
        at = np.clip(at, a, b)
        found = solve_ivp(rate, (a, b), [level], method="LSODA", t_eval=np.unique([*at, b]),
                          rtol=1e-5, atol=1e-4, max_step=0.5)  # fmt: skip
        out_t.append(at)
        out_c.append(np.interp(at, found.t, found.y[0]))
        level = float(found.y[0, -1])
    return np.concatenate(out_t), np.concatenate(out_c)


def _stiffness(truth: Truth):
    """How much more carbon than free CO2 moves, since carbonate turns into bicarbonate as CO2 comes."""
    pk1, pk2, log_g1 = _constants(truth)
    ratio = 10 ** (pk2 - pk1 + 2 * log_g1)
    alk = truth.kh_dkh * LITRES_DKH_MEQ

    def factor(co2_mg_l):
        co2 = max(co2_mg_l, 0.2) / CO2_G_MOL
        carbonate = alk**2 / (ratio * co2 + 4 * alk)
        return 1 + ratio * carbonate / (ratio * co2 + 4 * (alk - 2 * carbonate))

    return factor


def _constants(truth: Truth):
    kelvin = truth.water_c + 273.15
    pk1 = 3404.71 / kelvin - 14.8435 + 0.032786 * kelvin
    pk2 = 2902.39 / kelvin - 6.4980 + 0.02379 * kelvin
    root = math.sqrt(truth.ionic)
    return pk1, pk2, -0.509 * (root / (1 + root) - 0.3 * truth.ionic)


def true_ph(truth: Truth, co2_mg_l, kh_dkh=None):
    """pH of the water: Harned & Davis 1943, Harned & Scholes 1941, Davies 1962; from memory."""
    pk1, pk2, log_g1 = _constants(truth)
    alk = (truth.kh_dkh if kh_dkh is None else kh_dkh) * LITRES_DKH_MEQ * 1e-3
    co2 = np.asarray(co2_mg_l) / CO2_G_MOL * 1e-3
    hco3 = np.full_like(co2, alk)
    for _ in range(6):
        ph = pk1 + np.log10(hco3 / co2) + log_g1
        co3 = hco3 * 10 ** (ph - pk2 - 3 * log_g1)
        hco3 = alk - 2 * co3
    return ph


def probe(truth: Truth, hours, co2_mg_l, rng, doings: Doings | None = None):
    """The probe's readings: offset, drift, noise, two decimals."""
    kh = None
    if doings is not None and doings.kh_at is not None:
        kh = truth.kh_dkh + np.array([doings.kh_at(t) for t in hours])
    ph = true_ph(truth, co2_mg_l, kh) + truth.offset_ph + truth.drift_ph_day * hours / 24
    if doings is not None and doings.offset_at is not None:
        ph = ph + np.array([doings.offset_at(t) for t in hours])
    return np.round(ph + truth.noise_ph * rng.standard_normal(len(hours)), 2)


def kit_dkh(kh_dkh: float, step_dkh: float) -> float:
    """What a drop kit shows: the drop that turned it, so at or above the truth."""
    return step_dkh * math.ceil(kh_dkh / step_dkh - 1e-9)


def drawn(rng, *, median, seed) -> Truth:
    """A tank about some medians, drawn otherwise than the product does: flat where its priors are bells."""

    def flat(low, high):
        return float(math.exp(rng.uniform(math.log(low), math.log(high))))

    m = median
    return replace(
        m,
        volume_l=m.volume_l * flat(0.96, 1.04),
        loss_per_h=m.loss_per_h * flat(0.62, 1.6),
        air_mg_l=m.air_mg_l * flat(0.85, 1.18),
        night_mg_h=m.night_mg_h * flat(0.6, 1.7),
        dawn_share=rng.uniform(0.35, 0.7),
        uptake_mg_h=m.uptake_mg_h * flat(0.5, 2.0),
        half_mg_l=flat(3.5, 9.0),
        sag=rng.uniform(0.0, 0.2),
        dissolved=m.dissolved * rng.uniform(0.92, 1.0),
        flow=flat(0.87, 1.15),
        kh_dkh=rng.uniform(2.2, 8.0),
        offset_ph=rng.uniform(-0.08, 0.08),
        drift_ph_day=rng.uniform(-0.012, 0.012),
        noise_ph=rng.uniform(0.005, 0.015),
        seed=seed,
    )
