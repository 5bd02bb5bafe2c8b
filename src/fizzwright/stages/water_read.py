"""What a job's water readings say together: carbonate hardness, and the CO2 at the pH that was read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fizzwright.inference.fusion import BesideCarbonate, KitKh, ProbeReading, Readings, SaltSide, fused
from fizzwright.job.model import Job
from fizzwright.result import Assumption, Estimate, Finding, Level

__all__ = ["WaterRead", "read_water", "water_readings"]


@dataclass(frozen=True)
class WaterRead:
    """The tank's water from all its readings; `co2_now_mg_l` is None where no pH was read."""

    carbonate_kh_dkh: Estimate
    co2_now_mg_l: Estimate | None
    findings: tuple[Finding, ...]
    equations: tuple[Callable[..., Any], ...]
    assumptions: tuple[Assumption, ...]


def water_readings(job: Job) -> Readings:
    """The job's water as readings to be weighed together."""
    water = job.water
    return Readings(
        water_c=water.temperature_c,
        kits=(KitKh(max(water.kh_dkh - water.kh_step_dkh, 0.0), water.kh_dkh),),
        probe=None if water.ph is None else ProbeReading(water.ph),
        beside=BesideCarbonate(phosphate_mg_l=water.phosphate_mg_l, tint_doc_mg_l=water.tint_doc_mg_l),
        salts=SaltSide(ec_us_cm=water.ec_us_cm, tds_mg_l=water.tds_mg_l),
    )


def read_water(job: Job) -> WaterRead:
    """Carbonate hardness with its band, and the CO2 at the pH read, from everything the job gives.

    Parameters
    ----------
    job : Job
        The surveyed tank.

    Returns
    -------
    WaterRead
        With the readings that disagree as findings, and the equations run.
    """
    found = fused(water_readings(job))
    return WaterRead(
        carbonate_kh_dkh=found.carbonate_kh_dkh,
        co2_now_mg_l=None if job.water.ph is None else found.co2_mg_l,
        findings=tuple(Finding(Level.CARE, odd.text, "water") for odd in found.disagreements),
        equations=found.equations,
        assumptions=(
            Assumption(
                "the KH kit counts whole drops, so the truth lies up to one drop lower",
                f"{job.water.kh_step_dkh:g} dKH",
            ),
        ),
    )
