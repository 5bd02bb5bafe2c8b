"""A parts list as text: what must not be joined first, then the parts in the order they are fitted."""

from __future__ import annotations

from fizzwright.cli.output import (
    Row,
    bullet,
    estimate_row,
    findings_lines,
    heading,
    paragraph,
    rows_lines,
    sure_lines,
    working_lines,
)
from fizzwright.stages.parts_result import PartLine, PartsResult
from fizzwright.units import System

__all__ = ["parts_lines"]


def parts_lines(found: PartsResult, system: System, *, working: bool = False) -> list[str]:
    """The whole list."""
    where = f" in {found.region}" if found.region else ""
    lines = heading(f"{found.name}: parts{where}")[1:]
    if found.refused:
        count = len(found.refused)
        lines += paragraph(
            f"{count} misfit{'' if count == 1 else 's'}: do not fit these parts together.", "  "
        )
    else:
        lines += paragraph("Nothing in the job speaks against fitting these together.", "  ")
    if found.outlet:
        lines += paragraph(f"Outlet {found.outlet}: {found.thread}; seals on {_article(found.seal)}.", "  ")
    lines += heading("In the order they are fitted")
    for line in found.lines:
        lines += _part(line)
    lines += heading("What to look for")
    lines += rows_lines(_figures(found, system))
    lines += _costs(found)
    return [
        *lines,
        *findings_lines(found.trail.findings),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]


def _article(seal: str) -> str:
    return f"an {seal}" if seal[:1] in "AEO" else f"a {seal}"


def _part(line: PartLine) -> list[str]:
    count = f"{line.count} x " if line.count > 1 else ""
    detail = f", {line.detail}" if line.detail else ""
    have = "have it" if line.owned else "get it"
    cost = f", {line.cost}" if line.cost is not None else ""
    mind = f". {line.mind[:1].upper()}{line.mind[1:]}" if line.mind else ""
    return bullet(f"{count}{line.kind}{detail} ({have}{cost}){mind}.", mark=f"{line.number:>2}")


def _figures(found: PartsResult, system: System) -> list[Row]:
    return [
        estimate_row("Diffuser, water and check valve ask for", found.behind_needle_barg, system),
        estimate_row("Outlet that makes the feed deaf to it", found.advised_barg, system, "absolute 2 to 1"),
        estimate_row("Needle set to a Kv of", found.needle_kv_l_h, system),
        estimate_row("as a hole of", found.needle_hole_um, system),
        estimate_row("Needle fully open gives", found.needle_open_most_ml_min_n, system, "look for this"),
        estimate_row("Room, if the bottle lets go", found.release_ppm, system),
        estimate_row("Largest bottle for this room", found.largest_bottle_g, system, "under 10 000 ppm"),
        *([Row("Next test of the bottle", "", remark=found.next_test)] if found.next_test else []),
    ]


def _costs(found: PartsResult) -> list[str]:
    if found.to_buy is None:
        return []
    lines = heading("Costs, from your price file")
    rows = [Row("To buy now", "", remark=str(found.to_buy))]
    if found.to_renew_year is not None:
        rows.append(Row("Wear in a year", "", remark=str(found.to_renew_year)))
    lines += rows_lines(rows)
    if found.not_priced:
        lines += paragraph(f"Not in the file, counted as nothing: {', '.join(found.not_priced)}.", "  ")
    return lines
