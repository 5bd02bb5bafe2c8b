"""Walk along the line, station by station, from the bottle to the diffuser.

The feed is what leaves the needle valve while the gas is open. Pressure is set from the far end: the water
over the diffuser, the diffuser's own opening pressure, the tube, the check valve. Every number may be an
array of draws; arrays must fit each other by NumPy's rules.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.gasline.bottle import saturation_bara
from fizzwright.engines.gasline.counter import (
    NOMINAL_TIP_MM,
    THIN_PA_S,
    calibrated_bubble_mg,
    kumar_kuloor_volume_ul,
    mg_per_bubble_mg,
    tate_volume_ul,
    water_vapour_bara,
)
from fizzwright.engines.gasline.gas import (
    CO2_G_MOL,
    GAS_CONSTANT_J_MOL_K,
    KELVIN,
    Floats,
    ambient_bara,
    head_barg,
    held_mg,
)
from fizzwright.engines.gasline.regulator import outlet_barg
from fizzwright.engines.gasline.tube import (
    permeability_barrer,
    run_on_min,
    startup_min,
    tube_inlet_bara,
    volume_ml,
    wall_loss_mg_h,
)

__all__ = ["LineSetup", "LineWalk", "StationName", "StationState", "equations_of", "walk_line"]


class StationName(StrEnum):
    """The stations in the order the gas passes them."""

    BOTTLE = "bottle"
    REGULATOR = "regulator"
    SOLENOID = "solenoid"
    NEEDLE = "needle"
    COUNTER = "counter"
    CHECK_VALVE = "check valve"
    TUBE = "tube"
    DIFFUSER = "diffuser"


@dataclass(frozen=True)
class LineSetup:
    """One gas line as numbers; the caller fills it from the job and the tables of materials.

    `bottle_barg` is the gauge, or None while liquid is left (the bottle then stands at saturation).
    `supply_effect_frac` is the outlet rise of one stage for each bar the inlet falls. Where the rim was
    never measured `tip_mm` stays at its default. `bubble_volume_factor` carries the draws of doubt about
    the bubble, from `counter.volume_factor` with the band of a known or an unknown tip, or a calibration's.
    `calibrated_mg` is a calibrated bubble, and
    `calibration_bara` the absolute counter pressure it was found at, None for the present one.
    `vapour_share_frac` is the liquid's water activity: 1 for water, 0 for oils.
    """

    feed_mg_h: Floats
    bottle_c: Floats
    room_c: Floats
    set_barg: Floats
    opening_barg: Floats
    depth_m: Floats
    tube_length_m: Floats
    bore_mm: Floats
    outer_mm: Floats
    permeability_25c_barrer: Floats
    activation_j_mol: Floats
    tip_mm: Floats = NOMINAL_TIP_MM
    tension_n_m: Floats = 0.0728
    liquid_density_kg_m3: Floats = 998.2
    viscosity_pa_s: float = 0.001
    vapour_share_frac: Floats = 1.0
    bubble_volume_factor: Floats = 1.0
    calibrated_mg: Floats | None = None
    calibration_bara: Floats | None = None
    bottle_barg: Floats | None = None
    supply_effect_frac: Floats = 0.01
    stages_count: int = 1
    check_valve_barg: Floats = 0.03
    counter_space_ml: Floats = 5.0
    altitude_m: Floats = 100.0


@dataclass(frozen=True)
class StationState:
    """One station: the pressure after it, the flow that goes on from it, and what it loses."""

    name: StationName
    pressure_barg: Floats
    flow_mg_h: Floats
    lost_mg_h: Floats


@dataclass(frozen=True)
class LineWalk:
    """The whole line in steady flow, and how it starts and stops.

    `starved` marks lines whose tube loses the whole feed before the diffuser can open: water creeps back
    into them and `startup_min` is infinite. `run_on_mg` is what the line still holds over the diffuser's
    water pressure when the gas shuts: the most that can come after; it fades with the time constant
    `run_on_tau_min`.
    """

    stations: tuple[StationState, ...]
    delivered_mg_h: Floats
    tube_loss_mg_h: Floats
    counter_bara: Floats
    bubble_volume_ul: Floats | None
    mg_per_bubble_mg: Floats
    bubbles_per_s: Floats
    needle_ratio: Floats
    startup_min: Floats
    run_on_mg: Floats
    run_on_tau_min: Floats
    starved: bool | np.bool_ | NDArray[np.bool_]


def walk_line(setup: LineSetup) -> LineWalk:
    """The state of every station of a gas line with its gas open, and its start-up and run-on.

    Parameters
    ----------
    setup : LineSetup
        The line; numbers or arrays of draws.

    Returns
    -------
    LineWalk
        Stations bottle to diffuser with the pressure after each [bar g], the flow going on and the loss
        [mg/h], all broadcast together only where needed.
    """
    air = ambient_bara(setup.altitude_m)
    rest_bara = air + head_barg(setup.depth_m)
    end_bara = rest_bara + setup.opening_barg
    inlet = tube_inlet_bara(
        end_bara,
        setup.feed_mg_h,
        length_m=setup.tube_length_m,
        bore_mm=setup.bore_mm,
        temperature_c=setup.room_c,
    )
    wall = permeability_barrer(
        setup.permeability_25c_barrer, setup.room_c, activation_j_mol=setup.activation_j_mol
    )
    full_loss = wall_loss_mg_h(
        0.5 * (inlet + end_bara),
        wall,
        length_m=setup.tube_length_m,
        bore_mm=setup.bore_mm,
        outer_mm=setup.outer_mm,
    )
    # A wall that would lose more than the feed never lets the pressure rise to the opening pressure; it
    # falls no lower than the water outside, which creeps back into the tube instead.
    share = np.minimum(np.divide(setup.feed_mg_h, full_loss), 1.0)
    inlet, end_bara = np.maximum(inlet * share, rest_bara), np.maximum(end_bara * share, rest_bara)
    loss = np.minimum(full_loss, setup.feed_mg_h)
    delivered = setup.feed_mg_h - loss
    counter = inlet + setup.check_valve_barg
    volume, bubble = _bubble(setup, counter)
    bottle_barg = _bottle_barg(setup, air)
    regulated = _regulated_barg(setup, air, bottle_barg)
    fill = _filling(setup, air, counter=counter, full_loss=full_loss, delivered=delivered)
    feed, none = setup.feed_mg_h, 0.0
    return LineWalk(
        stations=(
            StationState(StationName.BOTTLE, bottle_barg, feed, none),
            StationState(StationName.REGULATOR, regulated, feed, none),
            StationState(StationName.SOLENOID, regulated, feed, none),
            StationState(StationName.NEEDLE, counter - air, feed, none),
            StationState(StationName.COUNTER, counter - air, feed, none),
            StationState(StationName.CHECK_VALVE, inlet - air, feed, none),
            StationState(StationName.TUBE, end_bara - air, delivered, loss),
            StationState(StationName.DIFFUSER, head_barg(setup.depth_m), delivered, none),
        ),
        delivered_mg_h=delivered,
        tube_loss_mg_h=loss,
        counter_bara=counter,
        bubble_volume_ul=volume,
        mg_per_bubble_mg=bubble,
        bubbles_per_s=setup.feed_mg_h / bubble / 3600.0,
        needle_ratio=counter / (regulated + air),
        startup_min=fill[0],
        run_on_mg=fill[1],
        run_on_tau_min=fill[2],
        starved=share < 1.0,
    )


def _bubble(setup: LineSetup, counter_bara: Floats) -> tuple[Floats | None, Floats]:
    """Volume and mass of one counted bubble; a calibration speaks for the mass alone."""
    if setup.calibrated_mg is not None:
        found_at = counter_bara if setup.calibration_bara is None else setup.calibration_bara
        mass = calibrated_bubble_mg(setup.calibrated_mg, counter_bara, calibration_bara=found_at)
        return None, mass * setup.bubble_volume_factor
    volume: Floats
    if setup.viscosity_pa_s < THIN_PA_S:
        volume = tate_volume_ul(
            setup.tip_mm, tension_n_m=setup.tension_n_m, density_kg_m3=setup.liquid_density_kg_m3
        )
    else:
        volume = kumar_kuloor_volume_ul(
            _actual_flow_l_h(setup, counter_bara),
            setup.tip_mm,
            tension_n_m=setup.tension_n_m,
            density_kg_m3=setup.liquid_density_kg_m3,
            viscosity_pa_s=setup.viscosity_pa_s,
        )
    volume = volume * setup.bubble_volume_factor
    vapour = setup.vapour_share_frac * water_vapour_bara(setup.room_c)
    return volume, mg_per_bubble_mg(volume, counter_bara, temperature_c=setup.room_c, vapour_bara=vapour)


def _actual_flow_l_h(setup: LineSetup, pressure_bara: Floats) -> Floats:
    """The feed as a volume at the pressure and temperature in the counter. [L/h]"""
    moles_h = setup.feed_mg_h * 1e-3 / CO2_G_MOL
    return moles_h * GAS_CONSTANT_J_MOL_K * (setup.room_c + KELVIN) / (pressure_bara * 1e5) * 1e3


def _bottle_barg(setup: LineSetup, air_bara: Floats) -> Floats:
    """The bottle's gauge pressure: as read, or saturation while liquid is left."""
    if setup.bottle_barg is not None:
        return setup.bottle_barg
    return saturation_bara(setup.bottle_c) - air_bara


def _regulated_barg(setup: LineSetup, air_bara: Floats, bottle_barg: Floats) -> Floats:
    """The outlet of the regulator, which creeps up as the bottle falls from the pressure it was set at."""
    if setup.bottle_barg is None:
        return setup.set_barg
    full = np.maximum(saturation_bara(setup.bottle_c) - air_bara, bottle_barg)
    return outlet_barg(
        setup.set_barg,
        bottle_barg,
        set_inlet_barg=full,
        supply_effect_frac=setup.supply_effect_frac**setup.stages_count,
    )


def _filling(
    setup: LineSetup, air_bara: Floats, *, counter: Floats, full_loss: Floats, delivered: Floats
) -> tuple[Floats, Floats, Floats]:
    """Start-up minutes, run-on mass and run-on time constant of counter space and tube together."""
    space = volume_ml(setup.tube_length_m, setup.bore_mm) + setup.counter_space_ml
    at_rest = held_mg(space, air_bara + head_barg(setup.depth_m), temperature_c=setup.room_c)
    opened_bara = air_bara + head_barg(setup.depth_m) + setup.opening_barg + setup.check_valve_barg
    opened = held_mg(space, opened_bara, temperature_c=setup.room_c)
    startup = startup_min(at_rest, opened, feed_mg_h=setup.feed_mg_h, loss_open_mg_h=full_loss)
    run_on = np.maximum(held_mg(space, counter, temperature_c=setup.room_c) - at_rest, 0.0)
    return startup, run_on, run_on_min(run_on, delivered)


def equations_of(setup: LineSetup) -> tuple[Callable[..., Any], ...]:
    """The equations a walk along this line runs, for the trail of whoever asked for it."""
    ran: list[Callable[..., Any]] = [
        ambient_bara, head_barg, tube_inlet_bara, permeability_barrer, wall_loss_mg_h, volume_ml, held_mg,
        startup_min, run_on_min, saturation_bara,
    ]  # fmt: skip
    if setup.bottle_barg is not None:
        ran.append(outlet_barg)
    if setup.calibrated_mg is None:
        ran += [water_vapour_bara, mg_per_bubble_mg]
        ran.append(tate_volume_ul if setup.viscosity_pa_s < THIN_PA_S else kumar_kuloor_volume_ul)
    return tuple(ran)
