"""The stage `parts`: what the job needs, in the order it is fitted, and what must not be joined."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.bottles import SHORTEST_RETEST_YEARS, retest_in
from fizzwright.catalogue.outlets import OUTLETS, SealForm
from fizzwright.catalogue.part_kinds import DIFFUSER_KINDS, KINDS, Place, kinds_at
from fizzwright.catalogue.room_air import FIFTEEN_MINUTE_PPM, ROOM_WARNING, RoomVerdict, verdict_of
from fizzwright.engines.gasline.gas import flow_ml_min_n
from fizzwright.engines.gasline.line import equations_of as line_equations
from fizzwright.engines.gasline.line import walk_line
from fizzwright.engines.gasline.needle import equivalent_hole_um, required_kv_l_h
from fizzwright.engines.gasline.regulator_rest import working_pressure_barg
from fizzwright.engines.gasline.room import OUTDOOR_PPM, mass_to_reach_g, whole_release_rise_ppm
from fizzwright.inference.draws import even_scores
from fizzwright.job.model import Job
from fizzwright.job.part_words import Country, PartKind
from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, make_trail
from fizzwright.stages.bench.gas_bottle import BOTTLE_WARNING
from fizzwright.stages.parts_misfits import NEVER_AT_THE_OUTLET, Joined, bottle_outlet_of, misfits
from fizzwright.stages.parts_prices import Cost, Prices
from fizzwright.stages.parts_result import PartLine, PartsResult
from fizzwright.stages.plan_inputs import UNKNOWNS, line_setup
from fizzwright.units import show

__all__ = ["NOMINAL_FEED_MG_H", "parts"]

Array = NDArray[np.float64]
_DRAWS_COUNT, _SEED = 400, 20260102
# 5 mL/min: pressures hardly hang on it, and a needle is chosen for a range.
NOMINAL_FEED_MG_H = 551.8
_ROOM_DOUBT_FRAC = 0.1
_REGULATORS = (
    PartKind.TWO_STAGE_REGULATOR, PartKind.SOLENOID_REGULATOR, PartKind.TWO_GAUGE_REGULATOR,
    PartKind.ONE_GAUGE_REGULATOR, PartKind.HAND_REGULATOR, PartKind.CARTRIDGE_REGULATOR,
)  # fmt: skip


@dataclass(frozen=True)
class _Pressures:
    """What stands behind the needle over the draws, and the equations that told it."""

    behind: Array
    ambient_bara: float
    ran: tuple[Callable[..., Any], ...]


def parts(
    job: Job,
    *,
    country: Country | None = None,
    prices: Prices | None = None,
    today: date | None = None,
) -> PartsResult:
    """The parts list of a job: reuses what is there, refuses what does not fit, costs what is priced.

    Parameters
    ----------
    job : Job
    country : Country or None
        Where the bottle is filled, if not as the job says.
    prices : Prices or None
        The user's own price file.
    today : date or None
        For the bottle's next test.

    Returns
    -------
    PartsResult
        With a finding of level stop for each misfit.
    """
    where = job.parts.region if country is None else country
    feed = NOMINAL_FEED_MG_H if job.settings.feed_mg_h is None else job.settings.feed_mg_h
    pressures = _pressures(job, feed)
    behind = Estimate.from_draws(pressures.behind, "barg")
    found = (*misfits(Joined(job, where, behind.high)), *_more_findings(job, where, today))
    lines = _lines(job, where, prices)
    outlet = bottle_outlet_of(job, where)
    row = None if outlet is None else OUTLETS[outlet]
    release, largest = _room(job)
    kv, hole = _needle(job, feed, pressures)
    flow = float(flow_ml_min_n(feed))
    return PartsResult(
        name=job.job.name,
        region="" if where is None else where.value,
        outlet="" if outlet is None else outlet.value,
        thread="" if row is None else row.thread,
        seal="" if row is None else row.seal.value,
        lines=lines,
        refused=tuple(finding.text for finding in found if finding.level is Level.STOP),
        behind_needle_barg=behind,
        advised_barg=Estimate.from_draws(working_pressure_barg(pressures.behind), "barg"),
        needle_kv_l_h=kv,
        needle_hole_um=hole,
        needle_open_most_ml_min_n=Estimate(35 * flow, "ml_min_n", 20 * flow, 50 * flow, Basis.JUDGEMENT),
        release_ppm=release,
        largest_bottle_g=largest,
        next_test=_next_test(job, where),
        to_buy=_to_buy(lines, prices),
        to_renew_year=_to_renew(lines, prices),
        not_priced=_not_priced(lines, prices),
        trail=make_trail(
            (*pressures.ran, required_kv_l_h, equivalent_hole_um, whole_release_rise_ppm, mass_to_reach_g),
            inputs=job.model_dump(mode="json") | {"country": str(where), "priced": prices is not None},
            assumptions=_assumptions(job, where, feed),
            findings=found,
        ),
    )


def _pressures(job: Job, feed_mg_h: float) -> _Pressures:
    scores = even_scores(UNKNOWNS, _DRAWS_COUNT, np.random.default_rng(_SEED))
    setup = line_setup(job, scores, feed_mg_h)
    walk = walk_line(setup)
    air = float(np.ravel(np.asarray(walk.counter_bara - walk.stations[4].pressure_barg))[0])
    behind = np.broadcast_to(np.asarray(walk.counter_bara) - air, (_DRAWS_COUNT,))
    return _Pressures(behind, air, line_equations(setup))


def _needle(job: Job, feed_mg_h: float, pressures: _Pressures) -> tuple[Estimate, Estimate]:
    """The flow coefficient the needle is turned to, and the hole that would pass as much."""
    before = job.gasline.regulator.set_pressure_barg + pressures.ambient_bara
    after = np.minimum(pressures.behind + pressures.ambient_bara, 0.98 * before)
    kv = np.asarray(
        required_kv_l_h(feed_mg_h, before, after_bara=after, temperature_c=job.room.temperature_c)
    )
    # Small valves lie within about 30 % of the equation.
    wide = np.concatenate([kv / 1.3, kv, kv * 1.3])
    return Estimate.from_draws(wide, "l_h"), Estimate.from_draws(np.asarray(equivalent_hole_um(wide)), "um")


def _room(job: Job) -> tuple[Estimate, Estimate]:
    volumes = [job.room.volume_m3 * k for k in (1.0, 1 + _ROOM_DOUBT_FRAC, 1 / (1 + _ROOM_DOUBT_FRAC))]
    start = OUTDOOR_PPM if job.room.co2_ppm is None else job.room.co2_ppm
    release = [start + float(whole_release_rise_ppm(job.gasline.bottle.charge_g, v)) for v in volumes]
    largest = [
        float(mass_to_reach_g(FIFTEEN_MINUTE_PPM, v, background_ppm=min(start, 5000.0))) for v in volumes
    ]
    return (
        Estimate(release[0], "ppm", release[1], release[2]),
        Estimate(largest[0], "g", largest[2], largest[1]),
    )


def _lines(job: Job, country: Country | None, prices: Prices | None) -> tuple[PartLine, ...]:
    """The list, place by place; a part at hand that is refused is left out and a fit one put in."""
    left = Counter(kind for kind in job.parts.owned if not KINDS[kind].refused)
    found: list[PartLine] = []
    for place, kind, count in _wanted(job, left):
        have = min(left[kind], count)
        left[kind] -= have
        for number, owned in ((have, True), (count - have, False)):
            if number:
                cost = None if owned or prices is None else _price(kind, number, job, prices)
                found.append(
                    PartLine(
                        len(found) + 1, place, _called(job, kind), _detail(job, country, kind), number, owned,
                        KINDS[kind].mind, cost,
                    )
                )  # fmt: skip
    return tuple(found)


def _wanted(job: Job, owned: Counter[PartKind]) -> list[tuple[Place, PartKind, int]]:
    """What goes where, and how many; where several kinds would do, the one at hand."""

    def at_hand(kinds: tuple[PartKind, ...], otherwise: PartKind) -> PartKind:
        return next((kind for kind in kinds if owned[kind]), otherwise)

    bottles = tuple(kind for kind in kinds_at(Place.BOTTLE) if kind is not PartKind.STRAP)
    bottle = at_hand(bottles, PartKind.REFILLABLE_BOTTLE)
    stages = (
        PartKind.TWO_STAGE_REGULATOR if job.gasline.regulator.stages == 2 else PartKind.TWO_GAUGE_REGULATOR
    )
    fresh = PartKind.CARTRIDGE_REGULATOR if bottle is PartKind.CARTRIDGE else stages
    regulator = at_hand(_REGULATORS, fresh)
    counters = (PartKind.BUILT_IN_COUNTER, PartKind.SPIRAL_COUNTER, PartKind.PLAIN_COUNTER)
    wanted = [
        (bottle, 1), (PartKind.STRAP, 1), (PartKind.WASHER, 2), (regulator, 1),
        (PartKind.SOLENOID, 0 if regulator is PartKind.SOLENOID_REGULATOR else 1), (PartKind.TIMER, 1),
        (PartKind.MANIFOLD, 1 if job.gasline.bottle.shared_with else 0), (PartKind.NEEDLE, 1),
        (at_hand(counters, PartKind.PLAIN_COUNTER), 1), (PartKind.COUNTER_FLUID, 1),
        (PartKind.GAS_CHECK_VALVE, 2), (PartKind.TUBE, 1), (PartKind.DIFFUSER, 1),
        (PartKind.DROP_CHECKER, 1), (PartKind.ROOM_ALARM, 1), (PartKind.LEAK_LIQUID, 1), (PartKind.SCALE, 1),
    ]  # fmt: skip
    if owned[PartKind.OUTLET_ADAPTER]:
        wanted.insert(3, (PartKind.OUTLET_ADAPTER, 1))
    return [(KINDS[kind].place, kind, count) for kind, count in wanted if count]


def _called(job: Job, kind: PartKind) -> str:
    if kind is PartKind.DIFFUSER:
        return job.gasline.diffuser.kind.value
    if kind is PartKind.TUBE:
        return f"{job.gasline.tube.material.value} tube"
    return kind.value


def _tube_m(job: Job) -> float:
    """Length to buy: a tenth and a quarter of a metre over, to the next half metre."""
    return float(np.ceil(2.0 * (1.1 * job.gasline.tube.length_m + 0.25)) / 2.0)


def _detail(job: Job, country: Country | None, kind: PartKind) -> str:
    """What to look for when choosing it."""
    line = job.gasline
    if KINDS[kind].place in {Place.BOTTLE, Place.SEAL, Place.REGULATOR} and kind is not PartKind.STRAP:
        return _outlet_detail(job, country, kind)
    named = [row.trade_name for row in DIFFUSER_KINDS if row.job_kind is line.diffuser.kind]
    size = f"{line.tube.bore_mm:g} x {line.tube.outer_mm:g} mm"
    details = {
        PartKind.TUBE: f"{show(_tube_m(job), 'm')} of {size}, spare included",
        PartKind.DIFFUSER: f"{line.diffuser.disc_mm:g} mm" + (f", sold as {named[0]}" if named else ""),
        PartKind.COUNTER_FLUID: line.counter.fluid.value,
        PartKind.GAS_CHECK_VALVE: "one near the tank, one before the counter",
    }
    return details.get(kind, "")


def _outlet_detail(job: Job, country: Country | None, kind: PartKind) -> str:
    """What hangs on the outlet of the bottle."""
    outlet = bottle_outlet_of(job, country)
    if kind is PartKind.WASHER:
        ring = outlet is not None and OUTLETS[outlet].seal is SealForm.RING
        return "O-ring of EPDM, polyurethane or PTFE" if ring else "flat washer of nylon or PTFE"
    if kind in _REGULATORS:
        inlet = f"inlet for {outlet.value}, " if outlet is not None else ""
        return f"{inlet}set to {show(job.gasline.regulator.set_pressure_barg, 'barg')}"
    named = f", outlet {outlet.value}" if outlet is not None else ""
    return f"{show(job.gasline.bottle.charge_g / 1000, 'kg')}{named}"


def _price(kind: PartKind, count: int, job: Job, prices: Prices) -> Cost | None:
    if kind not in prices.buy:
        return None
    each = float(prices.buy[kind]) * (_tube_m(job) if kind is PartKind.TUBE else 1.0) * count
    return Cost.of((each, each, each), prices.currency)


def _to_buy(lines: tuple[PartLine, ...], prices: Prices | None) -> Cost | None:
    if prices is None:
        return None
    total = sum(float(line.cost.amount) for line in lines if line.cost is not None)
    return Cost.of((total, total, total), prices.currency)


def _kind_of(line: PartLine) -> PartKind:
    if line.place is Place.DIFFUSER:
        return PartKind.DIFFUSER
    return PartKind.TUBE if line.place is Place.TUBE else PartKind(line.kind)


def _to_renew(lines: tuple[PartLine, ...], prices: Prices | None) -> Cost | None:
    """What parts wear out in a year, those at hand not counted; half to twice by how long they last."""
    if prices is None:
        return None
    year = sum(
        float(line.cost.amount) / prices.lasts_years(_kind_of(line))
        for line in lines
        if line.cost is not None
    )
    return Cost.of((year, 0.6 * year, 1.7 * year), prices.currency)


def _not_priced(lines: tuple[PartLine, ...], prices: Prices | None) -> tuple[str, ...]:
    if prices is None:
        return ()
    return tuple(dict.fromkeys(line.kind for line in lines if not line.owned and line.cost is None))


def _next_test(job: Job, country: Country | None) -> str:
    """The month of the bottle's next test, as YYYY-MM, or "" where the stamp is not noted."""
    tested = job.gasline.bottle.tested
    if tested is None:
        return ""
    rule = retest_in(country)
    years = SHORTEST_RETEST_YEARS if rule is None else rule.every_years
    year, month = tested.split("-")
    return f"{int(year) + int(years)}-{month}"


def _more_findings(job: Job, country: Country | None, today: date | None) -> list[Finding]:
    """Room, test date, outlet and the cautions that go with a bottle."""
    found = [*_room_findings(job), *_test_findings(job, country, today)]
    if country is None:
        text = (
            "No country is named: outlet, test interval and workplace limits differ. Say region in the "
            "job's "
            "parts table, or --region."
        )
        found.append(Finding(Level.CARE, text, "region"))
    shared = len(job.gasline.bottle.shared_with)
    if shared:
        text = (
            f"{shared + 1} tanks on one bottle: part the gas in a block before the needles, with a needle "
            "valve, a counter and two check valves for each tank. A tee behind a needle is refused."
        )
        found.append(Finding(Level.NOTE, text, "manifold", "manifold-node"))
    found.append(Finding(Level.NOTE, NEVER_AT_THE_OUTLET, "bottle outlet"))
    found.append(Finding(Level.NOTE, BOTTLE_WARNING, "bottle"))
    return found


def _room_findings(job: Job) -> list[Finding]:
    release, largest = _room(job)
    verdict = verdict_of(release.value)
    if verdict is RoomVerdict.UNDER_EIGHT_HOUR:
        return [Finding(Level.NOTE, ROOM_WARNING, "room", "well-mixed-room")]
    text = (
        f"All of this bottle's gas at once would bring the room to about "
        f"{show(release.value, 'ppm', digits=2)}, {verdict.value}; "
        f"{show(largest.value / 1000, 'kg', digits=2)} is the most that would stay under the lowest "
        f"15-minute limit. {ROOM_WARNING}"
    )
    level = Level.STOP if verdict is RoomVerdict.IMMEDIATE_DANGER else Level.CARE
    return [Finding(level, text, "room", "well-mixed-room")]


def _test_findings(job: Job, country: Country | None, today: date | None) -> list[Finding]:
    due = _next_test(job, country)
    if not due or today is None:
        return []
    year, month = (int(part) for part in due.split("-"))
    left_months = 12 * (year - today.year) + month - today.month
    if left_months > 2:
        return []
    word = "is past" if left_months < 0 else "is near"
    text = (
        f"The bottle's test date {word} ({due}, a reminder only). The stamp, your filler and local law "
        "decide; a filler may refuse it, what is in it may mostly be used up."
    )
    return [Finding(Level.CARE, text, "bottle test")]


def _assumptions(job: Job, country: Country | None, feed_mg_h: float) -> list[Assumption]:
    told = [Assumption("room volume, 90 % limits", "10 % either way", source="judgement")]
    if job.settings.feed_mg_h is None:
        told.append(Assumption("feed the needle is chosen for", show(feed_mg_h, "mg_h")))
    if job.parts.bottle_outlet is None and bottle_outlet_of(job, country) is not None:
        told.append(Assumption("outlet of the bottle", "the usual one of the country"))
    if retest_in(country) is None and job.gasline.bottle.tested is not None:
        told.append(
            Assumption("test interval of bottles", f"{SHORTEST_RETEST_YEARS:g} years, the shortest found")
        )
    told.append(Assumption("needle fully open", "20 to 50 times the feed"))
    return told
