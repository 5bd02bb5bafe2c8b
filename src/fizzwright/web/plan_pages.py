"""The plan of one tank: the gas line as the map, the day under it, sliders that answer at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from starlette.background import BackgroundTask
from starlette.datastructures import FormData, QueryParams
from starlette.requests import Request
from starlette.responses import Response

from fizzwright.errors import EditedElsewhere, Fault, InputError
from fizzwright.job.write import update_job
from fizzwright.papers.day_strip import day_strip_desk, day_strip_phone
from fizzwright.papers.gas_column import gas_line_phone
from fizzwright.papers.gas_line import gas_line_desk
from fizzwright.papers.gas_parts import Links
from fizzwright.papers.ledger_flow import ledger_desk, ledger_phone
from fizzwright.papers.next_readings import next_readings_desk, next_readings_phone
from fizzwright.papers.sheet_words import assumption_rows
from fizzwright.papers.symbols import Symbol, for_station
from fizzwright.stages.plan_result import PlanResult, Station
from fizzwright.stages.plan_set import HandSet, hand_set_of
from fizzwright.store import JobKept
from fizzwright.units import System
from fizzwright.web import survey_form
from fizzwright.web.plan_rules import rules_of
from fizzwright.web.site import page, see_other, site_of, svg
from fizzwright.web.who import kept_by

__all__ = ["keep", "keep_station", "plan"]

_CHANGED_AT = {
    "bottle": ("gasline.bottle.remaining", "gasline.bottle.gauge", "gasline.bottle.charge"),
    "regulator": ("gasline.regulator.set_pressure", "gasline.regulator.stages"),
    "counter": ("gasline.counter.tip", "gasline.counter.fluid", "gasline.counter.mg_per_bubble"),
    "tube": ("gasline.tube.material", "gasline.tube.length", "gasline.tube.bore", "gasline.tube.outer"),
    "diffuser": ("gasline.diffuser.kind", "gasline.diffuser.condition", "gasline.diffuser.depth",
                 "gasline.diffuser.opening"),
    "water": ("water.kh", "water.temperature", "surface.looks"),
    "leaf": ("light.par", "light.on", "light.off"),
}  # fmt: skip
_MOST_LOUD = 3


@dataclass(frozen=True)
class _Asked:
    """What the address asks for: settings of a hand, whether the plan has others, the chosen station."""

    to: HandSet
    by_hand: bool
    station: int
    moving: bool


def plan(request: Request) -> Response:
    """The sheet; or, while a slider moves, what changes on it."""
    return _sheet(request, {}, {}, 200)


def _minutes(text: str, usual: int) -> int:
    clock = re.fullmatch(r"(\d{1,2}):(\d{2})", text)
    if clock:
        return int(clock[1]) * 60 + int(clock[2])
    return int(text) if re.fullmatch(r"-?\d{1,4}", text) else usual


def _number(text: str, usual: float, most: float) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return usual
    return value if 0 < value <= most else usual


def _asked(query: QueryParams | FormData, chosen: PlanResult) -> _Asked:
    usual = hand_set_of(chosen)

    def text(name: str) -> str:
        return str(query.get(name, ""))

    to = HandSet(
        _number(text("bubbles"), usual.bubbles_per_s, 20 * usual.bubbles_per_s),
        _minutes(text("on"), usual.gas_on_min) % 1440,
        _minutes(text("off"), usual.gas_off_min) % 1440,
        _number(text("stir"), usual.loss_per_h, 20 * usual.loss_per_h),
    )
    near = (
        abs(to.bubbles_per_s / usual.bubbles_per_s - 1) < 5e-3
        and abs(to.loss_per_h / usual.loss_per_h - 1) < 5e-3
        and (to.gas_on_min, to.gas_off_min) == (usual.gas_on_min % 1440, usual.gas_off_min % 1440)
    )
    number = text("station")
    station = int(number) if re.fullmatch(r"\d{1,2}", number) else 0
    return _Asked(usual if near else to, not near, station, text("moving") == "1")


def _sheet(request: Request, typed: Mapping[str, str], faults: Mapping[str, str], status: int) -> Response:
    workshop = site_of(request).workshop
    kept = workshop.kept(request.path_params["slug"])
    chosen = workshop.planned(kept).plan
    asked = _asked(request.query_params, chosen)
    moving = asked.moving and request.headers.get("hx-request") == "true"
    shown = chosen
    if asked.by_hand:
        shown = workshop.day_set(kept, asked.to) if moving else workshop.plan_set(kept, asked.to)
    job = workshop.job(kept)
    system = System(job.job.units)
    values: dict[str, Any] = {
        "slug": kept.slug,
        "name": job.job.name,
        "stage": "plan",
        "revision": kept.revision_count,
        "plan": shown,
        "by_hand": asked.by_hand,
        "moving": moving,
        "system": system.value,
        "rules": rules_of(chosen, shown, asked.to),
        "day_desk": svg(day_strip_desk(shown)),
        "day_phone": svg(day_strip_phone(shown)),
        "words": _words(shown),
    }
    if moving:
        return page(request, "plan_moved.html", values)
    query = _query(asked)
    left = _bottle_left_frac(job)
    links = Links(f"?{query}station={{}}#station", asked.station)
    values |= {
        "line_desk": svg(gas_line_desk(shown, system=system, bottle_left_frac=left, links=links)),
        "line_phone": svg(gas_line_phone(shown, system=system, bottle_left_frac=left, links=links)),
        "ledger_desk": svg(ledger_desk(shown, system=system)),
        "ledger_phone": svg(ledger_phone(shown, system=system)),
        "station": _station(kept, shown, asked.station, (typed, faults)),
        "today": workshop.app.today(),
    }
    if request.headers.get("hx-request") == "true":
        return page(request, "plan_moved.html", values)
    findings = chosen.trail.findings
    values |= {
        "loud": findings[:_MOST_LOUD],
        "quiet": findings[_MOST_LOUD:],
        "next_desk": svg(next_readings_desk(chosen)) if chosen.next_readings else "",
        "next_phone": svg(next_readings_phone(chosen)) if chosen.next_readings else "",
        "assumptions": assumption_rows(chosen.trail),
        "chosen": chosen,
        "settings": job.settings,
        "kept_now": request.query_params.get("kept") == "yes",
    }
    warm = BackgroundTask(workshop.warm, kept)
    return page(request, "plan.html", values, status=status, after=warm)


def _bottle_left_frac(job: Any) -> float | None:
    bottle = job.gasline.bottle
    return None if bottle.remaining_g is None else min(bottle.remaining_g / bottle.charge_g, 1.0)


def _words(shown: PlanResult) -> str:
    """The verdict in one line, for the foot of a phone."""
    from fizzwright.papers.words import limits, percent

    over = percent(shown.p_over_ceiling_frac)
    return f"{limits(shown.co2_peak_mg_l)} at the peak; {over} of days over {shown.ceiling.soft_mg_l:.0f}"


def _query(asked: _Asked) -> str:
    """The settings of a hand as the start of a query, so that a station's address keeps them."""
    if not asked.by_hand:
        return ""
    to = asked.to
    given = {
        "bubbles": f"{to.bubbles_per_s:.3g}", "on": to.gas_on_min, "off": to.gas_off_min,
        "stir": f"{to.loss_per_h:.3g}",
    }  # fmt: skip
    return urlencode(given) + "&"


@dataclass(frozen=True)
class _StationSheet:
    station: Station
    symbol: Symbol
    before: Station | None
    fields: tuple[survey_form.Field, ...]


def _station(
    kept: JobKept, shown: PlanResult, number: int, typed: tuple[Mapping[str, str], Mapping[str, str]]
) -> _StationSheet | None:
    """The chosen station with what can be changed at it."""
    at = next((i for i, s in enumerate(shown.stations) if s.number == number), None)
    if at is None:
        return None
    station = shown.stations[at]
    keys = next((keys for word, keys in _CHANGED_AT.items() if word in station.name), ())
    values = survey_form.flat(kept.text)
    found = (survey_form.field_of(key, values, *typed) for key in keys)
    return _StationSheet(
        station,
        for_station(station.name, station.detail),
        shown.stations[at - 1] if at else None,
        tuple(f for f in found if f is not None),
    )


def keep(request: Request, form: FormData) -> Response:
    """Keep feed and gas clock as what the line is set to."""
    workshop = site_of(request).workshop
    kept = workshop.kept(request.path_params["slug"])
    asked = _asked(form, workshop.planned(kept).plan)
    feed = workshop.day_set(kept, asked.to).feed_mg_h.value
    to = asked.to
    changes = {
        "settings.feed": f"{feed:.4g} mg/h",
        "settings.gas_on": f"{to.gas_on_min // 60:02d}:{to.gas_on_min % 60:02d}",
        "settings.gas_off": f"{to.gas_off_min // 60:02d}:{to.gas_off_min % 60:02d}",
    }
    _save(request, kept, form, (update_job(kept.text, changes), "settings from the plan"))
    return see_other(f"/job/{kept.slug}/plan?{_query(asked)}kept=yes#try")


def keep_station(request: Request, form: FormData) -> Response:
    """Keep what was changed at a station; or show the sheet again with every fault beside its field."""
    workshop = site_of(request).workshop
    kept = workshop.kept(request.path_params["slug"])
    typed = {key: value for key, value in form.items() if "." in key and isinstance(value, str)}
    changes = survey_form.changes_of(survey_form.flat(kept.text), typed)
    try:
        text = update_job(kept.text, changes)
    except InputError as refused:
        beside, left = survey_form.by_field(refused.faults, typed)
        if left:
            raise InputError(left) from refused
        return _sheet(request, typed, beside, 422)
    if changes:
        _save(request, kept, form, (text, "changed at a station"))
    return see_other(f"/job/{kept.slug}/plan?{request.url.query}#station")


def _save(request: Request, kept: JobKept, form: FormData, new: tuple[str, str]) -> None:
    """Keep a text made from the latest revision, refused where the sheet showed an older one."""
    text, note = new
    given = str(form.get("revision", ""))
    seen = int(given) if given.isdecimal() else kept.revision_count
    if seen != kept.revision_count:
        raise InputError(
            [
                Fault(
                    "revision",
                    given,
                    f"the job was changed meanwhile; it is at revision {kept.revision_count}",
                    "Look at it again, then set what you wanted",
                )
            ]
        )  # fmt: skip
    try:
        site_of(request).workshop.store.save_job(
            kept.slug, text, expected_revision=seen, note=note, **kept_by(request)
        )
    except EditedElsewhere as err:
        raise InputError([Fault("revision", given, str(err))]) from err
