"""From a surveyed job with a layout to what the current needs: the tank in cubes, its drive, its exchange."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from fizzwright.engines.bubbles.diffusers import diffuser_spread
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.bubbles.properties import surface_pressure_pa
from fizzwright.engines.current.closures import outlet_speed_m_s
from fizzwright.engines.current.drive import Drive, Jet, Sink, drive_for
from fizzwright.engines.current.gas import Exchange
from fizzwright.engines.current.grid import Block, Grid, Planting, Scene, grid_for, scene_for
from fizzwright.engines.current.mist import Release
from fizzwright.engines.gasline.gas import flow_ml_min_n
from fizzwright.engines.living.plants import canopy_for, gross_uptake_mg_m2_h, respiration_mg_m2_h
from fizzwright.errors import Fault, InputError
from fizzwright.job.layout import BedPlace, Direction, IntakeKind, Layout, OutletKind, OutletPlace, Spot
from fizzwright.job.model import Density, DiffuserKind, Job
from fizzwright.stages.derive import air_side, animal_rates, bottom_rates, loss_prior, tank_geometry
from fizzwright.stages.place_result import Drawn, Rectangle

__all__ = [
    "Setting", "drawn_layout", "exchange_for", "feed_mg_h", "jet_for", "layout_of", "place_m", "release_for",
    "released_at_outlet", "setting_for", "water_size_m",
]  # fmt: skip

Functions = tuple[Callable[..., Any], ...]

# Frontal area of leaves in a cubic metre of bed, by how thickly it is planted: judgement,
# within a factor of 2.
FRONT_M2 = {Density.SPARSE: 6.0, Density.MEDIUM: 15.0, Density.DENSE: 40.0}
# Share of a feed that dissolves, only for how much gas hangs in the water.
ROUGH_DISSOLVED_FRAC = 0.85
_TOWARD = {
    Direction.RIGHT: (1.0, 0.0, 0.0), Direction.LEFT: (-1.0, 0.0, 0.0), Direction.BACK: (0.0, 1.0, 0.0),
    Direction.FRONT: (0.0, -1.0, 0.0), Direction.UP: (0.0, 0.0, 1.0), Direction.DOWN: (0.0, 0.0, -1.0),
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class Setting:
    """One outlet's tank on one grid, ready to run."""

    scene: Scene
    drive: Drive
    jet: Jet
    sink: Sink


def layout_of(job: Job) -> Layout:
    """The layout of a job; InputError with what to add where there is none."""
    if job.layout is None:
        raise InputError([
            Fault(
                "layout", "", "is missing: to see the water move, say where things stand",
                "Add [layout.outlet], [layout.intake] and [layout.diffuser], and [[layout.beds]] for "
                "the plants; "
                "fizzwright new --example library-foyer-120 shows one",
            )
        ])  # fmt: skip
    return job.layout


def water_size_m(job: Job) -> tuple[float, float, float]:
    """Length, width and depth of the water over the ground. [m]"""
    tank = job.tank
    depth = tank.water_depth_cm - tank.substrate_depth_cm
    return tank.length_cm / 100, tank.width_cm / 100, depth / 100


def place_m(job: Job, thing: Spot | OutletPlace | Any) -> tuple[float, float, float]:
    """A thing's middle in the water's own coordinates: left, front, over the ground. [m]"""
    ground = job.tank.substrate_depth_cm
    return thing.from_left_cm / 100, thing.from_front_cm / 100, (thing.height_cm - ground) / 100


def _turned(outlet: OutletPlace) -> tuple[float, float, float]:
    """The direction of a stream after its turn and tilt, of length one."""
    x, y, z = _TOWARD[outlet.points]
    turn, tilt = math.radians(outlet.turn_deg), math.radians(outlet.tilt_deg)
    # Clockwise from above, where right is x and back is y.
    x, y = x * math.cos(turn) + y * math.sin(turn), y * math.cos(turn) - x * math.sin(turn)
    if z == 0.0:
        return x * math.cos(tilt), y * math.cos(tilt), -math.sin(tilt)
    return x, y, z


def jet_for(job: Job, outlet: OutletPlace) -> Jet:
    """An outlet as the current sees it."""
    holes = outlet.holes if outlet.kind is OutletKind.SPRAY_BAR else 1
    toward = _turned(outlet)
    across = int(np.argmax(np.abs(toward)))
    return Jet(
        kind=outlet.kind,
        place_m=place_m(job, outlet),
        toward=toward,
        flow_l_h=outlet.flow_l_h,
        speed_m_s=float(outlet_speed_m_s(outlet.flow_l_h, outlet.bore_mm, openings_count=holes)),
        bore_mm=outlet.bore_mm,
        length_m=outlet.bar_length_cm / 100 if outlet.kind is OutletKind.SPRAY_BAR else 0.0,
        along=1 if across == 0 else 0,
    )


def _block(job: Job, thing: Any, foot_cm: float) -> Block:
    ground = job.tank.substrate_depth_cm
    return Block(
        left_m=thing.from_left_cm / 100,
        right_m=(thing.from_left_cm + thing.length_cm) / 100,
        front_m=thing.from_front_cm / 100,
        back_m=(thing.from_front_cm + thing.width_cm) / 100,
        low_m=(foot_cm - ground) / 100,
        high_m=(foot_cm + thing.tall_cm - ground) / 100,
    )


def _foot_cm(job: Job, bed: BedPlace) -> float:
    return job.tank.substrate_depth_cm if bed.height_cm is None else bed.height_cm


def setting_for(job: Job, outlet: OutletPlace, cell_m: float) -> Setting:
    """The tank with one of its outlets on a grid of about this cell. [m]"""
    layout = layout_of(job)
    grid = grid_for(water_size_m(job), cell_m)
    scene = scene_for(
        grid,
        [_block(job, box, box.height_cm) for box in layout.boxes],
        [
            Planting(bed.name, _block(job, bed, _foot_cm(job, bed)), FRONT_M2[bed.density])
            for bed in layout.beds
        ],
    )
    jet = jet_for(job, outlet)
    sink = Sink(place_m(job, layout.intake), layout.intake.kind is IntakeKind.SURFACE)
    return Setting(scene, drive_for(scene, jet, sink, reach_m=_reach_m(grid, jet)), jet, sink)


def _reach_m(grid: Grid, jet: Jet) -> float:
    """How far the tank runs in the direction an outlet points most. [m]"""
    sizes = (grid.columns, grid.rows, grid.layers)
    return grid.cell_m * sizes[int(np.argmax(np.abs(jet.toward)))]


def exchange_for(job: Job, scene: Scene, level_mg_l: float) -> tuple[Exchange, Functions]:
    """What takes and gives CO2 beside the diffuser while the lamp is lit, and the equations run.

    Totals are those of the mixed tank: the surface loses what its loss rate takes from the whole water, the
    beds take up what their bottom area does at the lamp's light.
    """
    geometry, loss, air = tank_geometry(job), loss_prior(job), air_side(job)
    animals, bottom = animal_rates(job), bottom_rates(job)
    grid, wet = scene.grid, scene.water
    litres = 1000.0 * grid.cell_m**3
    top = np.zeros(grid.shape)
    top[-1] = wet[-1]
    surface = top * loss.median_per_h * geometry.net_volume_l / (litres * max(float(top.sum()), 1.0))
    uptake, slope = np.zeros(grid.shape), np.zeros(grid.shape)
    breathing_mg_h = animals.co2_mg_h + bottom.co2_mg_h
    functions: list[Callable[..., Any]] = [f for part in (loss, air, animals, bottom) for f in part.equations]
    for bed, cells in zip(layout_of(job).beds, scene.beds, strict=True):
        area = bed.length_cm * bed.width_cm / 1e4
        canopy = canopy_for(bed.grows, bed.density, job.water.temperature_c)
        levels = np.array([0.98, 1.0, 1.02]) * level_mg_l
        taken = area * np.asarray(gross_uptake_mg_m2_h(levels, job.light.par_umol_m2_s, canopy))
        share = cells / max(float(cells.sum()) * litres, 1e-12)
        uptake += share * taken[1]
        slope += share * (taken[2] - taken[0]) / (levels[2] - levels[0])
        breathing_mg_h += area * float(respiration_mg_m2_h(canopy, 0.0))
    if layout_of(job).beds:
        functions += [gross_uptake_mg_m2_h, respiration_mg_m2_h]
    breathing = np.asarray(wet * breathing_mg_h / (litres * float(wet.sum())), dtype=np.float64)
    return Exchange(level_mg_l, uptake, slope, surface, air.co2_mg_l, breathing), tuple(functions)


def feed_mg_h(job: Job, supply_mg_l_h: float, scene: Scene) -> float:
    """The gas flow the mist is worked out at: the job's own, else about what holds the level. [mg/h]"""
    if job.settings.feed_mg_h is not None:
        return job.settings.feed_mg_h
    return max(supply_mg_l_h * 1000.0 * scene.volume_m3 / ROUGH_DISSOLVED_FRAC, 5.0)


def release_for(
    job: Job, at_m: tuple[float, float, float], *, gas_mg_h: float, level_mg_l: float, tracks: int
) -> Release:
    """The job's diffuser at work at a place in the water's coordinates."""
    diffuser = job.gasline.diffuser
    return Release(
        place_m=at_m,
        flow_ml_min_n=float(flow_ml_min_n(gas_mg_h)),
        disc_mm=diffuser.disc_mm,
        spread=diffuser_spread(diffuser.kind, diffuser.condition),
        water=bubble_water(
            job.water.temperature_c, float(surface_pressure_pa(job.room.altitude_m)), co2_mg_l=level_mg_l
        ),
        tracks=tracks,
    )


def _outlet_words(outlet: OutletPlace) -> str:
    return f"{outlet.kind.value}, {outlet.flow_l_h:.0f} L/h"


def _rectangle(thing: Any, foot_cm: float) -> Rectangle:
    return Rectangle(
        thing.name,
        thing.from_left_cm,
        thing.from_left_cm + thing.length_cm,
        thing.from_front_cm,
        thing.from_front_cm + thing.width_cm,
        foot_cm,
        foot_cm + thing.tall_cm,
    )


def _point(name: str, thing: Any) -> Rectangle:
    x, y, z = thing.from_left_cm, thing.from_front_cm, thing.height_cm
    return Rectangle(name, x, x, y, y, z, z)


def drawn_layout(job: Job, outlet: OutletPlace) -> Drawn:
    """The layout as it was understood, to be drawn back."""
    layout, tank = layout_of(job), job.tank
    return Drawn(
        length_cm=tank.length_cm,
        width_cm=tank.width_cm,
        depth_cm=tank.water_depth_cm,
        ground_cm=tank.substrate_depth_cm,
        boxes=tuple(_rectangle(box, box.height_cm) for box in layout.boxes),
        beds=tuple(_rectangle(bed, _foot_cm(job, bed)) for bed in layout.beds),
        outlet_at=_point(outlet.name, outlet),
        outlet_toward=_turned(outlet),
        outlet_words=_outlet_words(outlet),
        intake_at=_point("intake", layout.intake),
    )


def released_at_outlet(job: Job) -> bool:
    """Whether the bubbles come out of the filter's own outlet, wherever a diffuser is drawn."""
    return job.gasline.diffuser.kind is DiffuserKind.INLINE
