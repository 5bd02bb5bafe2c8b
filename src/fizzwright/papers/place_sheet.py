"""The drawings of a placement: section over plan, places compared, a cut through each bed with its CO2."""

from __future__ import annotations

import re

import numpy as np

from fizzwright.papers.place_compare_chart import compare_chart
from fizzwright.papers.place_raster import image, scale_image
from fizzwright.papers.place_view import (
    Cut,
    beds_lines,
    draw_tank,
    mist_points,
    plan_cut,
    rings,
    section_cut,
    stones,
    streaks,
)
from fizzwright.papers.svg import Board, Box, circle, line, num, path, standalone
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import shown
from fizzwright.stages.place_result import Place, PlaceResult

__all__ = ["bed_section", "current_sheet", "place_drawings"]

DESK, PHONE = 1196.0, 358.0


def _own(found: PlaceResult) -> Place:
    """The place whose fields are drawn."""
    return next(place for place in found.places if place.beds == found.beds)


def place_drawings(found: PlaceResult) -> dict[str, str]:
    """Every drawing by its file name: the current at two widths, the comparison, a cut through each bed."""
    made = {
        "current.svg": standalone(current_sheet(found)),
        "current-phone.svg": standalone(current_sheet(found, narrow=True), margin=12),
    }
    if len(found.places) > 1:
        made["places.svg"] = standalone(compare_chart(found))
    own = _own(found)
    made["section-plume.svg"] = standalone(
        bed_section(found, f"the diffuser at {own.name}", own.from_front_cm)
    )
    for bed in found.drawn.beds:
        name = re.sub(r"[^a-z0-9]+", "-", bed.name.lower()).strip("-") or "bed"
        made[f"section-{name}.svg"] = standalone(
            bed_section(found, f"the {bed.name}", 0.5 * (bed.front_cm + bed.back_cm))
        )
    return made


def current_sheet(found: PlaceResult, *, narrow: bool = False) -> str:
    """Where the water goes: the section from the front over the plan from above, joined by chain lines."""
    drawn, own = found.drawn, _own(found)
    left = 8.0 if narrow else 150.0
    wide = PHONE - 16.0 if narrow else 896.0
    scale = wide / drawn.length_cm
    top, label_room = 74.0, 24.0 + 62.0 * _label_rows(found, scale)
    plan_top = top + drawn.depth_cm * scale + label_room + 30.0
    total = plan_top + drawn.width_cm * scale + 76.0
    board = Board(PHONE if narrow else DESK, total, narrow=narrow)
    board.write((left, 18), "Where the water goes", "t18 tb")
    words = f"Diffuser at {own.name}. Blue streaks: current. Copper points: mist. Chain line: bed."
    if narrow:
        board.write((left, 38), words.split(". Copper", maxsplit=1)[0] + ".", "t12 tp")
        board.write((left, 54), "Copper points: mist. Chain line: bed.", "t12 tp")
    else:
        board.write((left, 38), words, "t12 tp")
        board.write((left - 142, top + 2), "Section,", "tb")
        board.write((left - 142, top + 18), "from the front", "tb")
    upright = section_cut(found, left, top, wide=wide, from_front_cm=own.from_front_cm)
    level = plan_cut(found, left, plan_top, wide=wide, height_cm=_plan_height_cm(found))
    for cut in (upright, level):
        draw_tank(board, cut)
        streaks(board, cut, count=110 if narrow else 300)
        mist_points(board, cut, count=160 if narrow else 420)
        stones(board, cut, found)
        beds_lines(board, cut, found)
    _pipes(board, upright, level, found)
    _bed_words(board, upright, found)
    if len(own.name) <= 2:
        x = upright.x(own.from_left_cm)
        board.add(line("tick chain", (x, upright.box.bottom), (x, level.box.top)))
    for cut in (upright, level):
        rings(board, cut, found.places, own.name)
    board.write(
        (left if narrow else left - 142, plan_top - 8 if narrow else plan_top + 2),
        "Plan, from above",
        "tb halo",
    )
    _foot(board, level, found)
    return board.finish("current", f"Where the water goes in {found.name}", _described(found))


def _plan_height_cm(found: PlaceResult) -> Px:
    """The level of the plan: a little over the ground, where most beds are."""
    return found.drawn.ground_cm + 0.25 * (found.drawn.depth_cm - found.drawn.ground_cm)


def _label_rows(found: PlaceResult, scale: Px) -> int:
    """How many rows the beds' words need under the section."""
    need = sum(max(92.0, 7.5 * len(bed.name)) for bed in found.beds)
    return max(1, int(np.ceil(need / (0.75 * scale * found.drawn.length_cm)))) if found.beds else 0


def _bed_words(board: Board, cut: Cut, found: PlaceResult) -> None:
    """Under the section, each bed's name and how long its water stays, with a leader up into the bed."""
    rows: list[list[Box]] = [[] for _ in range(max(_label_rows(found, cut.scale), 1) + 1)]
    figures = {bed.name: bed for bed in found.beds}
    for bed in sorted(found.drawn.beds, key=lambda b: b.left_cm + b.right_cm):
        if bed.name not in figures:
            continue
        text = shown(figures[bed.name].renewal_s)
        half = max(46.0, board.width_of(bed.name, "tb") / 2)
        middle = cut.x(0.5 * (bed.left_cm + bed.right_cm))
        middle = min(max(middle, half), board.width - half)
        wanted = Box(middle - half, 0, middle + half, 1)
        row = next(
            (r for r, taken in enumerate(rows) if not any(wanted.meets(b, gap=6) for b in taken)),
            len(rows) - 1,
        )
        rows[row].append(wanted)
        y = cut.box.bottom + 22 + 62 * row
        inside = cut.y(0.5 * (bed.low_cm + bed.high_cm))
        board.add(line("tick", (middle, inside), (middle, y - 12)), circle("sk", (middle, inside), 2))
        board.write((middle, y), bed.name, "tb tl mm halo")
        board.write((middle, y + 17), f"{text.value} {text.unit}", "tb mm halo")
        board.write((middle, y + 33), text.limits, "t12 tp mm halo")
    if not board.narrow and found.beds:
        for n, words in enumerate(("water at", "the leaves", "renewed in")):
            board.write((8, cut.box.bottom + 22 + 16 * n), words, "t12 tp")


def _pipes(board: Board, upright: Cut, level: Cut, found: PlaceResult) -> None:
    """Outlet with an arrow the way it points, intake as a strainer, each with its word."""
    drawn = found.drawn
    at, toward = drawn.outlet_at, drawn.outlet_toward
    for cut in (upright, level):
        x, y = cut.x(at.left_cm), cut.y(at.low_cm if cut.upright else at.front_cm)
        dx, dy = toward[0], -(toward[2] if cut.upright else toward[1])
        long = (dx * dx + dy * dy) ** 0.5
        if long > 0.15:
            tip = (x + 34 * dx, y + 34 * dy)
            nx, ny = dx / long, dy / long
            board.add(line("bold", (x, y), tip))
            wing = [(tip[0] - 9 * nx - 5 * s * ny, tip[1] - 9 * ny + 5 * s * nx) for s in (1, -1)]
            board.add(
                path(
                    "sk",
                    f"M{num(tip[0])} {num(tip[1])}L{num(wing[0][0])} "
                    f"{num(wing[0][1])}L{num(wing[1][0])} {num(wing[1][1])}Z",
                )
            )
        board.add(circle("dot", (x, y), 4))
        inn = drawn.intake_at
        place = (cut.x(inn.left_cm), cut.y(inn.low_cm if cut.upright else inn.front_cm))
        if cut.upright:
            board.add(line("mid", (place[0], cut.box.top - 12), place))
        board.add(path("mid", f"M{num(place[0] - 6)} {num(place[1] - 3)}h12m-12 6h12"))
    if board.narrow:
        return
    y_out, y_in = upright.y(at.low_cm), upright.y(drawn.intake_at.low_cm)
    right = at.left_cm > 0.5 * drawn.length_cm
    edge, css = (upright.box.right + 10, "t12") if right else (upright.box.left - 10, "t12 me")
    board.write((edge, y_out + 4), "outlet", css)
    for n, part in enumerate(drawn.outlet_words.split(", ")):
        board.write((edge, y_out + 20 + 15 * n), part, css + " tp")
    right = drawn.intake_at.left_cm > 0.5 * drawn.length_cm
    edge, css = (upright.box.right + 10, "t12") if right else (upright.box.left - 10, "t12 me")
    board.write((edge, max(y_in, y_out + 70) + 4 if abs(y_in - y_out) < 70 else y_in + 4), "intake", css)


def _foot(board: Board, cut: Cut, found: PlaceResult) -> None:
    """What a streak stands for, and the length of the tank as a dimension line."""
    y = cut.box.bottom + 24
    speed_cm_s = 1.0 if cut.scale * 3.0 > 18 else 3.0
    long = 3.0 * speed_cm_s * cut.scale
    board.add(line("water1", (cut.box.left, y - 4), (cut.box.left + long, y - 4)))
    board.add(line("water", (cut.box.left + 0.66 * long, y - 4), (cut.box.left + long, y - 4)))
    board.write(
        (cut.box.left + long + 10, y),
        f"3 s of travel, thick end leads; this long is {speed_cm_s:.0f} cm/s",
        "t12 tp",
    )
    y += 24
    board.add(line("thin", (cut.box.left, y), (cut.box.right, y)))
    for x in (cut.box.left, cut.box.right):
        board.add(line("thin", (x, y - 5), (x, y + 5)))
    board.write(
        ((cut.box.left + cut.box.right) / 2, y + 4.5), f"{found.drawn.length_cm:g} cm inside", "mm halo"
    )


def bed_section(found: PlaceResult, through: str, from_front_cm: Px) -> str:
    """An upright cut through a bed or the plume: CO2 as a raster, the current over it."""
    streams, drawn = found.streams, found.drawn
    left, wide, top = 8.0, 880.0, 64.0
    high = wide / drawn.length_cm * drawn.depth_cm
    board = Board(896.0, top + high + 92.0)
    cut = section_cut(found, left, top, wide=wide, from_front_cm=from_front_cm)
    row = min(max(int(from_front_cm / 100 / streams.cell_m), 0), streams.water.shape[1] - 1)
    field, wet = streams.co2_mg_l[:, row], streams.water[:, row]
    low, top_value = (float(q) for q in np.quantile(streams.co2_mg_l[streams.water], [0.01, 0.99]))
    high_value = max(top_value, low + 1e-3)
    board.write((left, 18), f"CO₂ in a section through {through}", "t18 tb")
    board.write(
        (left, 38),
        f"{from_front_cm:.0f} cm from the front glass, mean held at {found.level_mg_l:.1f} mg/L",
        "t12 tp",
    )
    draw_tank(board, cut)
    inside = Box(cut.box.left, cut.box.top, cut.box.right, cut.y(cut.ground_cm))
    board.add(image(field[::-1], inside, low=low, high=high_value, shown=wet[::-1]))
    stones(board, cut, found)
    beds_lines(board, cut, found)
    board.add(
        path(
            "bold",
            f"M{num(cut.box.left)} "
            f"{num(cut.box.top - 12)}V{num(cut.box.bottom)}H{num(cut.box.right)}V{num(cut.box.top - 12)}",
        )
    )
    _extremes(board, cut, field=field, wet=wet)
    y = cut.box.bottom + 26
    board.add(scale_image(Box(left, y, left + 380, y + 10)))
    for share in (0.0, 0.5, 1.0):
        css = "t12" if share == 0 else "t12 mm" if share == 0.5 else "t12 me"
        board.write((left + 380 * share, y + 26), f"{low + share * (high_value - low):.2f}", css)
    share = 100 * (high_value - low) / max(found.level_mg_l, 1e-9)
    board.write((left + 396, y + 10), f"mg/L; the whole scale spans {share:.1f} % of the mean", "t12 tp")
    words = f"CO2 runs from {field[wet].min():.2f} to {field[wet].max():.2f} mg/L in this section."
    return board.finish(f"section-{through}", f"CO2 in a section through {through}", words)


def _extremes(board: Board, cut: Cut, *, field: np.ndarray, wet: np.ndarray) -> None:
    """The highest and the lowest cell with their values beside them."""
    for word, pick in (
        ("highest", np.argmax(np.where(wet, field, -np.inf))),
        ("lowest", np.argmin(np.where(wet, field, np.inf))),
    ):
        row, column = divmod(int(pick), field.shape[1])
        x, y = cut.at_cell(column + 0.5, row + 0.5)
        y = min(max(y, cut.box.top + 8), cut.box.bottom - 8)
        board.add(circle("dot", (x, y), 3))
        to_left = x > 0.8 * (cut.box.left + cut.box.right)
        board.write(
            (x - 9 if to_left else x + 9, y + 4),
            f"{word} {field[row, column]:.2f}",
            "t12 halo" + (" me" if to_left else ""),
        )


def _described(found: PlaceResult) -> str:
    """The drawing in words, with its figures."""
    beds = "; ".join(
        f"{bed.name}: water renewed in {bed.renewal_s.value:.0f} s ({bed.renewal_s.low:.0f} to "
        f"{bed.renewal_s.high:.0f})"
        for bed in found.beds
    )
    return f"{found.verdict} {beds}"
