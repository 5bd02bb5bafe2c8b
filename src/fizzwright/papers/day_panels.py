"""The panels of the day strip: what stands in each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.limits import O2_FLOOR_MG_L
from fizzwright.papers.scales import Axis, nice_step
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import clock, fixed, range_text, round_figure, shown
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import DayRisk, PlanResult

__all__ = [
    "Curve",
    "DayReading",
    "Frame",
    "Key",
    "Panel",
    "Wall",
    "co2_panel",
    "o2_panel",
    "ph_panel",
    "risk_panel",
]

Curve = NDArray[np.float64]
Of = Literal["co2", "ph", "o2", "risk"]


@dataclass(frozen=True)
class DayReading:
    """A reading to set on the strip: when, of what, with its own band; `set_aside` strikes it through."""

    clock_min: float
    of: Of
    estimate: Estimate
    set_aside: bool = False


@dataclass(frozen=True)
class Frame:
    """The skeleton of one strip: its width, the ends of the time axis, panel heights, spaces."""

    width: Px
    left: Px
    right: Px
    heights: tuple[Px, Px, Px, Px]
    top: Px
    gap: Px
    hour_step: int
    narrow: bool = False

    @property
    def time(self) -> Axis:
        """Minutes of the day along the strip."""
        return Axis(0.0, 1440.0, self.left, self.right)

    @property
    def gutter(self) -> tuple[Px, Px]:
        """Left and right end of the words at the right of the panels."""
        return self.right + 22, self.width


@dataclass(frozen=True)
class Wall:
    """A limit drawn as a wall, hatched on the forbidden side (-1 above, +1 below)."""

    value: Px
    side: int
    words: str
    under: str = ""


@dataclass(frozen=True)
class Key:
    """The one number of a panel that the reader should take away, and where it stands on the curve."""

    words: str
    under: str
    clock_min: Px
    value: Px


@dataclass(frozen=True)
class Panel:
    """Everything one panel shows, in the unit of its quantity."""

    of: Of
    name: str
    unit: str
    colour: str
    curves: tuple[Curve, Curve, Curve]
    reach: tuple[Px, Px]
    step: Px
    key: Key
    walls: tuple[Wall, ...] = ()
    target: tuple[Px, Px] | None = None
    rest: tuple[Px, str] | None = None

    def axis(self, top: Px, height: Px) -> Axis:
        """The quantity up the panel."""
        return Axis(self.reach[0], self.reach[1], top + height, top)

    @property
    def places(self) -> int:
        """Decimals the ticks need."""
        return next((n for n in range(3) if abs(round(self.step, n) - self.step) < 1e-9), 2)


def co2_panel(plan: PlanResult, frame: Frame) -> Panel:
    """Dissolved CO2 with the target and the animals' starting ceiling."""
    day, soft = plan.day, plan.ceiling.soft_mg_l
    room = 30.0 if frame.narrow else 20.0
    top = max(
        float(day.co2_high_mg_l.max()) * 1.06,
        plan.target_high_mg_l * 1.08,
        soft / (1 - room / frame.heights[0]),
    )
    peak, at = shown(plan.co2_peak_mg_l), int(np.argmax(day.co2_mg_l))
    hard = (
        f"; hard\u00a0stop\u00a0{round_figure(plan.ceiling.hard_mg_l)}"
        if plan.ceiling.hard_mg_l > soft
        else ""
    )
    return Panel(
        "co2",
        "CO₂",
        "mg/L",
        "gas",
        (day.co2_low_mg_l, day.co2_mg_l, day.co2_high_mg_l),
        (0.0, top),
        nice_step(top, 4 if frame.heights[0] > 120 else 3),
        Key(
            f"peak {peak.value} {_when(day.clock_min, day.co2_mg_l, at)}",
            peak.limits,
            float(day.clock_min[at]),
            float(day.co2_mg_l[at]),
        ),
        (Wall(soft, -1, f"starting ceiling {round_figure(soft)}", f"set by {plan.ceiling.set_by}{hard}"),),
        (plan.target_low_mg_l, plan.target_high_mg_l),
    )


def ph_panel(plan: PlanResult) -> Panel:
    """pH, which falls as CO2 rises."""
    day = plan.day
    low, high = float(day.low_ph.min()), float(day.high_ph.max())
    room = max(0.06 * (high - low), (0.4 - (high - low)) / 2, 0.02)
    at = int(np.argmin(day.ph))
    limits = range_text(fixed(float(day.low_ph[at]), 2), fixed(float(day.high_ph[at]), 2))
    reach = (low - room, high + room)
    return Panel(
        "ph",
        "pH",
        "",
        "water",
        (day.low_ph, day.ph, day.high_ph),
        reach,
        nice_step(reach[1] - reach[0], 3),
        Key(
            f"lowest {fixed(float(day.ph[at]), 2)} {_when(day.clock_min, day.ph, at)}",
            limits,
            float(day.clock_min[at]),
            float(day.ph[at]),
        ),
    )


def o2_panel(plan: PlanResult, frame: Frame) -> Panel:
    """Dissolved oxygen over its floor, with the level it would rest at under air."""
    day = plan.day
    low = min(float(day.o2_low_mg_l.min()), O2_FLOOR_MG_L)
    high = max(float(day.o2_high_mg_l.max()), day.o2_saturation_mg_l)
    height = frame.heights[2]
    reach = (low - (high - low) * 14 / height, high + (high - low) * 12 / height)
    dawn = shown(plan.o2_dawn_mg_l)
    at_dawn = float(np.interp(plan.light_on_min % 1440, day.clock_min, day.o2_mg_l))
    return Panel(
        "o2",
        "O₂",
        "mg/L",
        "leaf",
        (day.o2_low_mg_l, day.o2_mg_l, day.o2_high_mg_l),
        reach,
        nice_step(reach[1] - reach[0], 3),
        Key(f"at dawn {dawn.value}", dawn.limits, float(plan.light_on_min % 1440), at_dawn),
        (Wall(O2_FLOOR_MG_L, 1, f"floor {round_figure(O2_FLOOR_MG_L)}"),),
        None,
        (day.o2_saturation_mg_l, f"{fixed(day.o2_saturation_mg_l, 1)} at rest with air"),
    )


def risk_panel(risk: DayRisk, clock_min: Curve, frame: Frame) -> Panel:
    """CO2 and oxygen as one risk under its alarm at 1, which hangs below the top of the panel."""
    low, middle, high = (
        np.interp(clock_min, risk.clock_min, curve)
        for curve in (risk.low_number, risk.risk_number, risk.high_number)
    )
    top = max(float(high.max()) * 1.06, 1.0 / (1 - (30.0 if frame.narrow else 13.0) / frame.heights[3]))
    peak, at = shown(risk.peak_number, places=2), int(np.argmax(middle))
    return Panel(
        "risk",
        "risk",
        "",
        "risk",
        (low, middle, high),
        (0.0, top),
        nice_step(top, 2),
        Key(
            f"highest {peak.value} {_when(clock_min, middle, at)}",
            peak.limits,
            float(clock_min[at]),
            float(middle[at]),
        ),
        (Wall(1.0, -1, "alarm at 1", "CO₂ and O₂ as one"),),
    )


def _when(clock_min: Curve, curve: Curve, at: int) -> str:
    """The clock time of an extreme; a curve that does not move has none."""
    if float(np.ptp(curve)) < 0.005 * max(abs(float(curve[at])), 1.0):
        return "all day"
    return f"at {clock(clock_min[at])}"
