"""`fizzwright plan`: the plan for one job file, printed, and as a sheet and a drawing where asked."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["plan", "plan_result"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--night", type=click.Path(path_type=Path), help="Readings of one gas-off night (CSV); fits the loss."
)
@click.option(
    "--sheet",
    type=click.Path(path_type=Path),
    metavar="FILE.pdf",
    help="Write the sheet to print; with --failures it has pages for those too.",
)
@click.option(
    "--svg", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the drawing of the day."
)
@click.option(
    "--draws", type=click.IntRange(50, 20000), metavar="N", help="How many tanks to try out; more is slower."
)
@click.option("--failures", is_flag=True, help="What happens, hour by hour, when something fails.")
@click.option(
    "--compare", type=click.Path(path_type=Path), metavar="OTHER.toml", help="A second job, side by side."
)
@shared_options
def plan(
    face: Face, job: Path, night: Path | None, sheet: Path | None, svg: Path | None, draws: int | None,
    failures: bool, compare: Path | None,
) -> None:  # fmt: skip
    """Feed, bubble rate and gas clock for the tank in JOB, and what its day then looks like."""
    from fizzwright.app import App

    if failures and compare is not None:
        raise click.UsageError("--failures and --compare are two answers: ask for one at a time.")
    app = App()
    surveyed = app.load(job)
    found = app.plan(job, night=night, draws_count=draws)
    decisions = () if night is None else app.read_night(night, surveyed).log.decisions
    system = face.system_or(surveyed.job.units)
    broken = app.failures(job, night=night, draws_count=draws) if failures else None
    if sheet is not None:
        _write(sheet, "--sheet", app.plan_sheet_pdf(found, failures=broken, system=system))
    if svg is not None:
        _write(svg, "--svg", app.day_svg(found).encode("utf-8"))
    beside = None if compare is None else app.compare(found, path=job, other_path=compare, draws_count=draws)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps, plain

        body = {**plan_result(found), "night_file": [plain(decision) for decision in decisions]}
        if broken is not None:
            body["failures"] = {**plain(broken), **answer_object({}, broken.trail)}
        if beside is not None:
            body["compare"] = _compared(beside)
        print(dumps(answer_object(body, found.trail)))
    elif broken is not None:
        from fizzwright.cli.failures_text import failure_lines
        from fizzwright.cli.output import say

        say(failure_lines(broken, system, working=face.working))
    elif beside is not None:
        from fizzwright.cli.compare_text import compare_lines
        from fizzwright.cli.output import say

        say(compare_lines(beside, system))
    else:
        from fizzwright.cli.output import say
        from fizzwright.cli.plan_text import plan_lines, reading_lines

        say(plan_lines(found, system, working=face.working))
        say(reading_lines(decisions))
    written = [str(path) for path in (sheet, svg) if path is not None]
    if written:
        sys.stderr.write(f"\nWrote {' and '.join(written)}.\n")


def _compared(beside: Any) -> dict[str, Any]:
    """A comparison as plain data; the second plan stands whole in it, with its own findings and trail."""
    from fizzwright.cli.jsonout import answer_object, plain

    return {
        "other": answer_object(plan_result(beside.other), beside.other.trail),
        "inputs": plain(beside.inputs),
        "rows": [{"name": r.name, r.key: plain(r.pair), "apart": r.apart} for r in beside.rows],
        "sentences": list(beside.sentences),
    }


def _write(path: Path, option: str, content: bytes) -> None:
    from fizzwright.errors import Fault, InputError

    try:
        path.write_bytes(content)
    except OSError as err:
        reason = err.strerror or "the file could not be written"
        raise InputError([Fault(option, str(path), f"cannot be written: {reason}")]) from err


def plan_result(found: Any) -> dict[str, Any]:
    """The plan as plain data under the keys the JSON promises.

    Clock settings are "HH:MM"; the ceiling, the ledger and the chance over the ceiling have keys of their
    own; everything else keeps its name.
    """
    from fizzwright.cli.jsonout import chosen, plain
    from fizzwright.papers.words import clock

    body = plain(found)
    for name in ("gas_on", "gas_off", "light_on", "light_off"):
        body[name] = clock(body.pop(f"{name}_min"))
    body["p_over_ceiling"] = body.pop("p_over_ceiling_frac")
    ceiling = found.ceiling
    body["ceiling"] = {"set_by": ceiling.set_by, "confidence": ceiling.confidence}
    for name, value in (
        ("ceiling_mg_l", ceiling.soft_mg_l),
        ("hard_stop_mg_l", ceiling.hard_mg_l),
        ("target_low_mg_l", found.target_low_mg_l),
        ("target_high_mg_l", found.target_high_mg_l),
    ):
        body[name] = chosen(value, "mg_l")
    ledger = body.pop("ledger")
    body["ledger_g_day"] = {
        "lines": ledger["lines"],
        "in": found.ledger.total_g_day("in"),
        "out": found.ledger.total_g_day("out"),
        "residual": found.ledger.residual_frac,
    }
    return {**{key: body[key] for key in _FIRST}, **body}


_FIRST = (
    "name", "kind", "verdict", "feed_mg_h", "bubbles_per_s", "gas_on", "gas_off", "co2_at_lights_on_mg_l",
    "co2_peak_mg_l", "ceiling_mg_l", "p_over_ceiling", "stuck_open_24h_mg_l", "bottle_days", "ledger_g_day",
)  # fmt: skip
