"""One estimate of dissolved CO2 from whatever was read, and what to make of the readings.

Carbonate alkalinity, pH and the probe's error are taken together: each reading weighs every
combination by how well that combination explains it. No draws are made, so equal readings give equal
answers.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from fizzwright.inference.fusion_likelihood import likelihood_equations
from fizzwright.inference.fusion_next import (
    Disagreement,
    NextReading,
    disagreements,
    input_shares,
    next_readings,
)
from fizzwright.inference.fusion_posterior import Posterior, posterior, weighted_limits
from fizzwright.inference.fusion_readings import (
    AiredReading,
    BesideCarbonate,
    CheckerReading,
    KitKh,
    NightReading,
    ProbeReading,
    Readings,
    RoomAirReading,
    SaltSide,
)
from fizzwright.inference.fusion_water import grid_equations
from fizzwright.result import Basis, Estimate
from fizzwright.units import DKH_MEQ_L

__all__ = [
    "AiredReading",
    "BesideCarbonate",
    "CheckerReading",
    "Disagreement",
    "Fused",
    "KitKh",
    "NextReading",
    "NightReading",
    "ProbeReading",
    "Readings",
    "RoomAirReading",
    "SaltSide",
    "estimated",
    "fused",
]


@dataclass(frozen=True)
class Fused:
    """What the readings say together.

    `offset_ph` is what the probe reads too much, `beside_kh_dkh` what the kit counts beside carbonate;
    `input_shares` adds up to one, largest first. `equations` is what ran, for a trail.
    """

    co2_mg_l: Estimate
    carbonate_kh_dkh: Estimate
    offset_ph: Estimate
    beside_kh_dkh: float
    input_shares: dict[str, float]
    disagreements: tuple[Disagreement, ...]
    next_readings: tuple[NextReading, ...]
    equations: tuple[Callable[..., Any], ...]
    posterior: Posterior

    @property
    def dominant_input(self) -> str:
        """The input that carries most of the doubt."""
        return next(iter(self.input_shares), "none")


def fused(readings: Readings) -> Fused:
    """One posterior on carbonate alkalinity, CO2 and the probe's error from any mix of readings.

    Parameters
    ----------
    readings : all readings of one water at one time

    Returns
    -------
    `Fused`; bands are 90 %
    """
    found = posterior(readings)
    co2, kh = _estimates(found)
    offset = weighted_limits(found.offset_ph, found.offset_frac)
    beside = float(found.weight_frac.sum(axis=0) @ found.beside.total_meq_l) / DKH_MEQ_L
    equations = (*grid_equations(readings), *likelihood_equations(readings))
    return Fused(
        co2_mg_l=co2,
        carbonate_kh_dkh=kh,
        offset_ph=Estimate(offset[1], "ph", offset[0], offset[2], Basis.PROPAGATED),
        beside_kh_dkh=beside,
        input_shares=input_shares(found),
        disagreements=disagreements(readings),
        next_readings=next_readings(found),
        equations=equations,
        posterior=found,
    )


def estimated(readings: Readings) -> tuple[Estimate, Estimate]:
    """CO2 [mg/L] and carbonate KH [dKH] alone, without shares, disagreements and next readings.

    Parameters
    ----------
    readings : all readings of one water at one time

    Returns
    -------
    Two estimates with 90 % bands; a few milliseconds, for whoever needs many
    """
    return _estimates(posterior(readings))


def _estimates(found: Posterior) -> tuple[Estimate, Estimate]:
    low, middle, high = weighted_limits(
        found.ln_co2_number, found.weight_frac, blur_number=found.beside_grid_number
    )
    alk_share = found.weight_frac.sum(axis=1)
    kh = weighted_limits(np.log(found.grid.alk_meq_l / DKH_MEQ_L), alk_share)
    return (
        Estimate(math.exp(middle), "mg_l", math.exp(low), math.exp(high), Basis.PROPAGATED),
        Estimate(math.exp(kh[1]), "dkh", math.exp(kh[0]), math.exp(kh[2]), Basis.PROPAGATED),
    )
