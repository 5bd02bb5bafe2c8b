"""What a diffuser's place and kind make worth hearing beside its dissolved share."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.bubbles.closures import contaminated_closure
from fizzwright.engines.bubbles.held import hose_speed_m_s, hose_wall_speed_m_s
from fizzwright.engines.bubbles.population import DiffuserSpread, RisePath, plume_cost_frac
from fizzwright.job.words import Condition, DiffuserKind
from fizzwright.result import Finding, Level
from fizzwright.units import number_text

__all__ = ["path_findings"]

SHALLOW_OUTLET_M = 0.03
SHORT_HOSE_M = 0.5
SLOW_HOSE_M_S = 0.5
COSTLY_FRAC = 0.05
BUSY_DISC_ML_MIN_N = 30.0


def path_findings(path: RisePath, spread: DiffuserSpread) -> tuple[Finding, ...]:
    """What to mind about a diffuser where it sits.

    Parameters
    ----------
    path : depth, water, gas flow, current, hose
    spread : bubble sizes of the diffuser

    Returns
    -------
    findings, perhaps none
    """
    found = _of_hose(path, spread) if spread.kind is DiffuserKind.INLINE else _of_disc(path, spread)
    if spread.condition is Condition.FOULED:
        text = (
            "A fouled diffuser wets badly and gives fewer, larger bubbles. Cleaning it is the cheapest way "
            "to dissolve more."
        )
        found.append(Finding(Level.CARE, text, "diffuser", "diffuser-sizes"))
    return tuple(found)


def _of_hose(path: RisePath, spread: DiffuserSpread) -> list[Finding]:
    """An atomiser in the filter hose."""
    found = []
    water = path.water()
    speed = hose_speed_m_s(path.hose_flow_l_h, path.hose_bore_mm)
    swing = float(hose_wall_speed_m_s(speed, path.hose_bore_mm, kinematic_m2_s=water.kinematic_m2_s))
    rise = float(contaminated_closure(water).speeds_m_s(np.array([1e-3 * spread.d32_mm]))[0, 0])
    if float(speed) < SLOW_HOSE_M_S or swing < rise:
        text = (
            "The water in the hose is too slow to keep the bubbles mixed in: they ride along its top and "
            "merge. More flow or a narrower hose keeps them fine; avoid high points in the run."
        )
        found.append(Finding(Level.CARE, text, "hose", "blasius-1913"))
    if path.hose_length_m < SHORT_HOSE_M:
        text = "Under half a metre of hose after the atomiser much of the gas reaches the outlet as bubbles."
        found.append(Finding(Level.CARE, text, "hose", "bubble-balance"))
    if path.depth_m < SHALLOW_OUTLET_M:
        text = (
            "The hose ends at the surface: what is not dissolved by then is lost, and the splash strips more."
        )
        found.append(Finding(Level.CARE, text, "outlet", "bubble-balance"))
    return found


def _of_disc(path: RisePath, spread: DiffuserSpread) -> list[Finding]:
    """A diffuser in the tank."""
    found = []
    cost = float(plume_cost_frac(path, spread)[0])
    if cost > COSTLY_FRAC:
        text = (
            f"The bubbles lift a column of water and ride up with it, which costs about "
            f"{number_text(100 * cost, 1)} points of dissolved share, give or take 5. A current of 5 cm/s "
            "across the diffuser, two discs in place of one, or a place under a down-flow wins it back."
        )
        found.append(Finding(Level.NOTE, text, "diffuser", "bubble-plume"))
    if path.flow_ml_min_n > BUSY_DISC_ML_MIN_N * (path.disc_mm / 25.0) ** 2:
        text = (
            "This is much gas for one disc of this size: bubbles merge as they leave it and come out larger "
            "than usual. Spread it over more discs."
        )
        found.append(Finding(Level.CARE, text, "diffuser", "diffuser-sizes"))
    return found
