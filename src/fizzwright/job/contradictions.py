"""Pairs of answers that exclude each other, each check on its own.

A check reads only the fields it names. Where one of them is missing, because the file is faulty there,
the check says nothing and the others still speak, so that a reader learns of everything at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fizzwright.job.model import Job

__all__ = ["contradictions"]


def _water_under_rim(job: Job) -> Iterator[str]:
    if job.tank.water_depth_cm > job.tank.height_cm:
        yield "tank.water_depth\u0001is deeper than the tank is high; measure both from the bottom glass"


def _water_over_substrate(job: Job) -> Iterator[str]:
    if job.tank.substrate_depth_cm >= job.tank.water_depth_cm:
        yield "tank.substrate_depth\u0001fills the water; it must be less than water_depth"


def _room_for_water(job: Job) -> Iterator[str]:
    tank = job.tank
    over_cm = max(tank.water_depth_cm - tank.substrate_depth_cm, 0.0)
    gross_l = tank.length_cm * tank.width_cm * over_cm / 1000
    if tank.hardscape_volume_l >= 0.8 * gross_l > 0:
        yield f"tank.hardscape_volume\u0001leaves under a fifth of the {gross_l:.0f} L over the substrate"


def _diffuser_in_water(job: Job) -> Iterator[str]:
    if job.gasline.diffuser.depth_cm > job.tank.water_depth_cm:
        yield "gasline.diffuser.depth\u0001is below the bottom glass; it counts from the surface down"


def _tube_has_wall(job: Job) -> Iterator[str]:
    if job.gasline.tube.bore_mm >= job.gasline.tube.outer_mm:
        yield "gasline.tube.bore\u0001must be less than outer"


def _beds_fit(job: Job) -> Iterator[str]:
    if sum(bed.cover_frac for bed in job.plants) > 1.0 + 1e-9:
        yield "plants.cover\u0001the beds together cover more than the bottom"


def _lamp_rests(job: Job) -> Iterator[str]:
    if job.light.on_min == job.light.off_min:
        yield "light.off\u0001is the same as on; a lamp lit all day is not modelled"
    elif 2 * job.light.ramp_min > 60 * job.light.hours_h:
        yield "light.ramp\u0001the two ramps are longer than the lit hours"


def _target_is_a_band(job: Job) -> Iterator[str]:
    if job.target is not None and job.target.low_mg_l >= job.target.high_mg_l:
        yield "target.low\u0001must be less than high"


def _bottle_holds_gas(job: Job) -> Iterator[str]:
    bottle = job.gasline.bottle
    if bottle.remaining_g is not None and bottle.remaining_g > bottle.charge_g * 1.1:
        yield "gasline.bottle.remaining\u0001is over the charge; give the gas alone, without the tare"


def _layout_in_tank(job: Job) -> Iterator[str]:
    """Everything drawn stands inside the glass; what holds or moves water stands in the water."""
    tank, layout = job.tank, job.layout
    if layout is None:
        return
    for group in ("outlet", "intake", "diffuser", "spots", "outlets", "boxes", "beds"):
        things = getattr(layout, group)
        many = isinstance(things, tuple)
        for at, thing in enumerate(things if many else (things,)):
            where = f"layout.{group}[{at + 1}]" if many else f"layout.{group}"
            if thing.from_left_cm + getattr(thing, "length_cm", 0.0) > tank.length_cm + 1e-9:
                yield f"{where}.from_left\u0001ends past the right glass, {tank.length_cm:g} cm from the left"
            if thing.from_front_cm + getattr(thing, "width_cm", 0.0) > tank.width_cm + 1e-9:
                yield f"{where}.from_front\u0001ends past the back glass, {tank.width_cm:g} cm from the front"
            wet = group not in ("boxes", "beds")
            if wet and not tank.substrate_depth_cm <= thing.height_cm <= tank.water_depth_cm:
                yield (
                    f"{where}.height\u0001must lie in the water, "
                    f"{tank.substrate_depth_cm:g} to {tank.water_depth_cm:g} cm over the bottom glass"
                )


_CHECKS: tuple[Callable[[Job], Iterator[str]], ...] = (
    _water_under_rim,
    _water_over_substrate,
    _room_for_water,
    _diffuser_in_water,
    _tube_has_wall,
    _beds_fit,
    _lamp_rests,
    _target_is_a_band,
    _bottle_holds_gas,
    _layout_in_tank,
)


def contradictions(job: Job, *, partial: bool = False) -> Iterator[str]:
    """Every contradiction in a job, each as `field`, a control character, and what is wrong.

    With `partial`, attributes that are not there silence the checks that need them.
    """
    for check in _CHECKS:
        try:
            yield from check(job)
        except AttributeError:
            if not partial:
                raise
