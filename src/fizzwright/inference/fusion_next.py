"""Which input carries the doubt, which readings disagree, and which one to take next."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.water.airing import AiringWay
from fizzwright.inference.fusion_likelihood import (
    PHOSPHATE_ERROR_FRAC,
    TINT_ERROR_FRAC,
    checker_log_co2_number,
    end_point,
    room_co2,
)
from fizzwright.inference.fusion_posterior import Posterior, posterior
from fizzwright.inference.fusion_readings import Readings
from fizzwright.units import DKH_MEQ_L

__all__ = ["Disagreement", "NextReading", "disagreements", "input_shares", "next_readings"]

Array = NDArray[np.float64]

# A reading this many deviations from what the others say comes by chance once in about fifty.
FLAGGED = 2.3
LN_10 = math.log(10.0)


@dataclass(frozen=True)
class Disagreement:
    """A reading that the others contradict: by how many deviations, and to which side."""

    reading: str
    deviations_number: float
    text: str


@dataclass(frozen=True)
class NextReading:
    """A reading that was not taken, and by what share it should narrow the band of CO2."""

    reading: str
    narrows_frac: float
    text: str


def input_shares(found: Posterior) -> dict[str, float]:
    """How much of the doubt of CO2 each input carries, largest first, adding up to one.

    The share of KH and of pH is what knowing it would explain; KH is split over what it was read from.
    """
    weight, ln_co2 = found.weight_frac, found.ln_co2_number
    of_kh = _explained(weight, ln_co2, axis=1)
    of_ph = _explained(weight, ln_co2, axis=0)
    pieces = {
        "temperature": found.warmth_number**2,
        "salts": found.salts_number**2,
        **{name: share * of_kh for name, share in _kh_sources(found).items()},
    }
    r = found.readings
    if r.probe is not None:
        pieces["pH reading"] = of_ph
    if r.checkers and r.probe is None:
        pieces = {"drop checker": of_ph + of_kh}
    total = sum(pieces.values()) or 1.0
    ranked = sorted(pieces.items(), key=lambda item: -item[1])
    return {name: piece / total for name, piece in ranked if piece > 0.0}


def _explained(weight: Array, ln_co2: Array, *, axis: int) -> float:
    """Variance of the mean of the logarithm of CO2 along the other side of the grid."""
    share = weight.sum(axis=axis)
    mean = (weight * ln_co2).sum(axis=axis) / np.maximum(share, 1e-300)
    middle = float(np.sum(share * mean))
    return float(np.sum(share * (mean - middle) ** 2))


def _kh_sources(found: Posterior) -> dict[str, float]:
    """What the knowledge of KH rests on, as shares of its doubt."""
    r = found.readings
    doubts: dict[str, float] = {}
    alk = float(np.sum(found.weight_frac.sum(axis=1) * found.grid.alk_meq_l))
    if r.kits:
        _, spread = end_point(found.grid)
        width = min(kit.high_dkh - kit.low_dkh for kit in r.kits) * DKH_MEQ_L
        doubts["KH kit"] = width**2 / 12.0 + float(np.quantile(spread, 0.5)) ** 2
        share = found.weight_frac.sum(axis=0)
        doubts["phosphate"] = (PHOSPHATE_ERROR_FRAC * float(share @ found.beside.phosphate_meq_l)) ** 2
        doubts["tint"] = (TINT_ERROR_FRAC * float(share @ found.beside.tint_meq_l)) ** 2
    if r.aired is not None or r.night is not None:
        name = "aired sample" if r.aired is not None else "night reading"
        noise = r.aired.noise_ph if r.aired is not None else 0.02
        _, room = room_co2(r)
        own = {
            name: (alk * LN_10 * math.hypot(noise, r.offset_error_ph)) ** 2,
            "room CO2" if r.aired is not None else "night level": (
                alk * (room if r.aired is not None else math.log(_night_factor(r)))
            )
            ** 2,
        }
        if not doubts or sum(own.values()) < sum(doubts.values()):
            doubts = own
    if not doubts:
        return {"KH": 1.0}
    total = sum(doubts.values())
    return {key: value / total for key, value in doubts.items()}


def _night_factor(r: Readings) -> float:
    return r.night.level_error_factor if r.night is not None else 1.0


def disagreements(readings: Readings) -> tuple[Disagreement, ...]:
    """Readings that the rest contradict, the strangest first; needs at least two routes to CO2."""
    found = []
    if (
        readings.kits
        and readings.probe is not None
        and (readings.aired or readings.checkers or readings.night)
    ):
        found += _kit_against(readings)
    if readings.aired is not None and readings.probe is not None and (readings.kits or readings.checkers):
        found += _aired_against(readings)
    for i, _ in enumerate(readings.checkers):
        rest = dataclasses.replace(readings, checkers=readings.checkers[:i] + readings.checkers[i + 1 :])
        if rest.probe is not None and (rest.kits or rest.aired or rest.night):
            found += _checker_against(readings, i, rest)
    return tuple(sorted(found, key=lambda d: -abs(d.deviations_number)))


def _moments(found: Posterior, values: Array) -> tuple[float, float]:
    mean = float(np.sum(found.weight_frac * values))
    return mean, float(np.sqrt(np.sum(found.weight_frac * (values - mean) ** 2)))


def _kit_against(readings: Readings) -> list[Disagreement]:
    rest = posterior(dataclasses.replace(readings, kits=()))
    flagged = []
    for kit in readings.kits:
        ln_alk = np.log(rest.grid.alk_meq_l / DKH_MEQ_L)[:, None] + 0.0 * rest.ln_co2_number
        mean, spread = _moments(rest, ln_alk)
        expected = math.exp(mean)
        own = math.hypot(0.15, (kit.high_dkh - kit.low_dkh) / 3.46) / max(expected, 0.1)
        over = kit.low_dkh if expected < kit.low_dkh else min(kit.high_dkh, expected)
        gap = math.log(max(over, 0.05) / expected)
        score = gap / math.hypot(spread, min(own, 1.0))
        if abs(score) > FLAGGED:
            if gap > 0.0:
                text = (
                    "the KH kit reads more than the other readings can be carbonate: phosphate, tannins or "
                    "another buffer counted in it, or a sample that was not really aired"
                )
            else:
                text = (
                    "the KH kit reads less than the other readings ask for: a kit past its date, a colour "
                    "that turned early, or a room richer in CO2 than stated"
                )
            flagged.append(Disagreement("KH kit", score, text))
    return flagged


def _aired_against(readings: Readings) -> list[Disagreement]:
    aired = readings.aired
    if aired is None:
        return []
    rest = posterior(dataclasses.replace(readings, aired=None))
    ln_alk = np.log(rest.grid.alk_meq_l)[:, None] + 0.0 * rest.ln_co2_number
    mean, spread = _moments(rest, ln_alk)
    # What the aired sample alone says, with its own room and probe.
    alone = posterior(dataclasses.replace(readings, kits=(), checkers=(), night=None))
    own_mean, own_spread = _moments(alone, np.log(alone.grid.alk_meq_l)[:, None] + 0.0 * alone.ln_co2_number)
    score = (own_mean - mean) / math.hypot(spread, own_spread)
    if abs(score) <= FLAGGED:
        return []
    if score < 0.0:
        text = (
            "the aired sample's pH is lower than the others allow: it had not come level with the air yet, "
            "or the room's air was richer in CO2; bubble room air through it for longer and read again"
        )
    else:
        text = (
            "the aired sample's pH is higher than the others allow: air of less CO2 than stated, or a probe "
            "that had not settled"
        )
    return [Disagreement("aired sample", score, text)]


def _checker_against(readings: Readings, index: int, rest: Readings) -> list[Disagreement]:
    checker = readings.checkers[index]
    said, own = checker_log_co2_number(checker, water_c=readings.water_c)
    others = posterior(rest)
    mean, spread = _moments(others, others.ln_co2_number)
    score = (said - mean) / math.hypot(own, spread)
    if abs(score) <= FLAGGED:
        return []
    side = "more" if score > 0.0 else "less"
    text = (
        f"the drop checker shows {side} CO2 than the other readings: it runs hours behind the tank, its "
        "water may not be the KH on its bottle, or dye or tank water has got into it; rinse it, refill it "
        "with fresh KH water and read it after four steady hours"
    )
    return [Disagreement("drop checker", score, text)]


def next_readings(found: Posterior) -> tuple[NextReading, ...]:
    """Readings not taken yet, by the share each should narrow the band of CO2, best first."""
    r, ln_co2 = found.readings, found.ln_co2_number
    base = math.hypot(_moments(found, ln_co2)[1], found.beside_grid_number)
    ln_alk = np.log(found.grid.alk_meq_l)[:, None] + 0.0 * ln_co2
    ph = found.grid.ph[None, :] + 0.0 * ln_co2
    alk = float(np.exp(_moments(found, ln_alk)[0])) / DKH_MEQ_L
    offered: list[tuple[str, str, Array, float]] = []
    if not (r.aired is not None and r.room.room_co2_ppm is not None and r.aired.way is AiringWay.BUBBLED):
        offered.append(_aired_offer(r, ln_alk))
    if not r.kits or min(k.high_dkh - k.low_dkh for k in r.kits) > 0.25:
        error = math.hypot(0.2 / 3.46, 0.06 + found.beside.deviation_meq_l.mean() / DKH_MEQ_L) / alk
        text = "KH titrated in five times the sample, so that a drop counts a fifth"
        offered.append(("finer KH", text, ln_alk, min(error, 2.0)))
    if r.probe is None:
        text = "pH of the tank with a probe calibrated at 7 and 4"
        offered.append(("pH", text, ph * LN_10, LN_10 * 0.05))
    elif r.offset_error_ph > 0.03:
        text = "the probe calibrated at 7 and 4 just before, and read twice"
        offered.append(("calibrated pH", text, ph * LN_10, LN_10 * 0.025))
    if len(r.checkers) < 2:
        kh = "6 dKH" if r.checkers else "4 dKH"
        text = f"a drop checker filled with {kh} water, read after four steady hours"
        offered.append(("drop checker", text, ln_co2, 0.4))
    ranked = [
        NextReading(name, max(1.0 - _narrowed_to(found, values, error) / base, 0.0), text)
        for name, text, values, error in offered
    ]
    if r.salts.ec_us_cm is None and r.salts.ions is None:
        left = math.hypot(_moments(found, ln_co2)[1], found.warmth_number, 0.3 * found.salts_number)
        ranked.append(NextReading("conductivity", max(1.0 - left / base, 0.0), "conductivity of the tank"))
    return tuple(sorted(ranked, key=lambda n: -n.narrows_frac))


def _aired_offer(r: Readings, ln_alk: Array) -> tuple[str, str, Array, float]:
    meter = 0.08
    if r.aired is None:
        text = "pH of a sample bubbled with room air for an hour, with a CO2 meter beside it"
        return "aired sample", text, ln_alk, math.hypot(meter, LN_10 * math.hypot(0.02, r.offset_error_ph))
    if r.room.room_co2_ppm is None:
        text = "a CO2 meter beside the sample that was aired"
        return "room CO2", text, ln_alk, math.hypot(meter, LN_10 * math.hypot(0.02, r.offset_error_ph))
    text = "the sample bubbled with room air instead of left to stand"
    return "bubbled sample", text, ln_alk, math.hypot(meter, LN_10 * math.hypot(0.02, r.offset_error_ph))


def _narrowed_to(found: Posterior, values: Array, error_number: float) -> float:
    """Expected deviation of the logarithm of CO2 after a reading of `values` with a bell-shaped error."""
    mean, spread = _moments(found, values)
    reach = math.hypot(spread, error_number)
    kept, shares = 0.0, 0.0
    for score, share in ((-1.3, 0.25), (-0.4, 0.25), (0.4, 0.25), (1.3, 0.25)):
        told = mean + score * reach
        weight = found.weight_frac * np.exp(-0.5 * np.minimum(((values - told) / error_number) ** 2, 200.0))
        total = float(weight.sum())
        if total <= 0.0:
            continue
        ln_co2 = found.ln_co2_number
        middle = float(np.sum(weight * ln_co2)) / total
        kept += share * math.sqrt(float(np.sum(weight * (ln_co2 - middle) ** 2)) / total)
        shares += share
    inside = kept / shares if shares else _moments(found, found.ln_co2_number)[1]
    return math.hypot(inside, found.beside_grid_number)
