"""The carbon ledger as a flow picture: where each gram of a day's gas goes, widths to scale."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.papers.ledger_parts import Books, Stream, books, tell
from fizzwright.papers.svg import Board, Box, line, num, path, rect
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import shown
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import System

__all__ = ["ledger_desk", "ledger_paper", "ledger_phone"]


# Top of a stream's bar, bottom of its words, height of the bar.
_End = tuple[Px, Px, Px]


@dataclass(frozen=True)
class _Room:
    """Columns of one drawing: ends of the left bar, the split, the water, the right bar; full height."""

    width: Px
    left: Px
    split: Px
    water: Px
    right: Px
    tall: Px


_DESK = _Room(1196, 170, 430, 770, 948, 190)
_PAPER = _Room(800, 142, 270, 470, 590, 124)


def ledger_desk(plan: PlanResult, *, prefix: str = "ledger", system: System = System.METRIC) -> str:
    """A day's carbon as a wide flow picture, in at the left, out at the right."""
    return _wide(plan, _DESK, prefix, system)


def ledger_paper(plan: PlanResult, *, prefix: str = "ledger", system: System = System.METRIC) -> str:
    """The same picture for the width of an A4 page."""
    return _wide(plan, _PAPER, prefix, system)


def ledger_phone(plan: PlanResult, *, prefix: str = "ledger-phone", system: System = System.METRIC) -> str:
    """A day's carbon 358 wide: the gas falls from the bottle and its streams turn off one by one."""
    kept = books(plan.ledger, system)
    board = Board(358, 4000, narrow=True)
    board.height = _phone(board, kept)
    return board.finish(prefix, "Carbon ledger of one day", tell(plan.ledger, system))


def _wide(plan: PlanResult, room: _Room, prefix: str, system: System) -> str:
    kept = books(plan.ledger, system)
    board = Board(room.width, 4000)
    ends = _right_column(board, room, kept)
    bottom = _left_side(board, room, kept, ends, f"{shown(plan.net_volume_l).value}\u00a0L")
    board.height = _sums(board, kept, max(bottom, *(e[1] for e in ends)) + 26 if ends else bottom)
    return board.finish(prefix, "Carbon ledger of one day", tell(plan.ledger, system))


def _size(room: _Room, stream: Stream) -> Px:
    return stream.share * room.tall


def _right_column(board: Board, room: _Room, kept: Books) -> list[_End]:
    """Bars and words of everything that leaves: (top, bottom of its words, height) of each stream."""
    ends: list[_End] = []
    at: Px = 14
    for stream in sorted(kept.outs, key=lambda s: not s.outside):
        tall = _size(room, stream)
        lines = _out_lines(board, stream, room.right + 20, kept.mass)
        words = 17.0 * len(lines)
        block = max(tall, words)
        top = at + (block - tall) / 2
        board.add(rect(f"{stream.colour}f", Box(room.right, top, room.right + 10, top + max(tall, 1.2))))
        _set_lines(board, (room.right + 20, at + (block - words) / 2 + 13), lines, 17)
        ends.append((top, at + block, tall))
        at += block + 14
    return ends


_Piece = tuple[str, str]


def _out_lines(board: Board, stream: Stream, left: Px, mass: str) -> list[list[_Piece]]:
    """Name, then value and limits on one line, or on two where the column is too narrow."""
    room = board.width - left
    size = board.size("")
    lines: list[list[_Piece]] = [[(name, "")] for name in wrap(stream.name, room, size, lines=2)]
    value, limits = (f"{stream.value}\u00a0{mass}", "tb"), (stream.limits, "t12 tp")
    if board.width_of(*value) + 8 + board.width_of(*limits) <= room:
        return [*lines, [value, limits]]
    return [*lines, [value], [limits]]


def _set_lines(board: Board, at: tuple[Px, Px], lines: list[list[_Piece]], pitch: Px) -> None:
    for index, pieces in enumerate(lines):
        x = at[0]
        for text, css in pieces:
            x = board.write((x, at[1] + pitch * index), text, css).right + 8


def _ribbon(board: Board, colour: str, ends: tuple[Px, Px, Px, Px], tall: Px) -> None:
    """A band of one width from (x, top) to (x, top), in an S between two verticals."""
    x0, y0, x1, y1 = ends
    half = (x0 + x1) / 2
    if tall >= 1.2:
        board.add(
            path(
                f"{colour}t",
                f"M{num(x0)} {num(y0)}C{num(half)} {num(y0)} {num(half)} {num(y1)} {num(x1)} {num(y1)}"
                f"V{num(y1 + tall)}C{num(half)} {num(y1 + tall)} "
                f"{num(half)} {num(y0 + tall)} {num(x0)} {num(y0 + tall)}Z",
            )
        )
    for shift in (0.0, tall) if tall >= 1.2 else (tall / 2,):
        a, b = y0 + shift, y1 + shift
        board.add(
            path(
                f"{colour}1",
                f"M{num(x0)} {num(a)}C{num(half)} {num(a)} {num(half)} {num(b)} {num(x1)} {num(b)}",
            )
        )


@dataclass(frozen=True)
class _Flow:
    """The streams of the picture by where they join, with the ends of those that leave."""

    gas: list[Stream]
    other: list[Stream]
    before: list[tuple[Stream, _End]]
    after: list[tuple[Stream, _End]]
    gas_top: Px
    node_top: Px


def _flow(room: _Room, kept: Books, ends: list[_End]) -> _Flow:
    """Sort the streams; the water stands level with what leaves it, below what never enters it."""
    leaving = list(zip(sorted(kept.outs, key=lambda s: not s.outside), ends, strict=True))
    before, after = ([x for x in leaving if x[0].outside is outside] for outside in (True, False))
    gas_top = (before[0][1][0] if before else 26.0) + 8
    gas_top = max(gas_top, 34.0)
    through = sum(_size(room, s) for s, _ in after)
    lost = sum(_size(room, s) for s, _ in before)
    middle = sum(e[0] + e[2] / 2 for _, e in after) / len(after) if after else gas_top
    return _Flow(
        [s for s in kept.ins if s.outside],
        [s for s in kept.ins if not s.outside],
        before,
        after,
        gas_top,
        max(middle - through / 2, gas_top + lost + 10),
    )


def _left_side(board: Board, room: _Room, kept: Books, ends: list[_End], water_l: str) -> Px:
    """Bars and words of what comes in, and every ribbon; hands back where the words end."""
    flow = _flow(room, kept, ends)
    gas_tall = sum(_size(room, s) for s in flow.gas)
    gas_bottom, at = flow.gas_top + gas_tall, flow.gas_top
    for stream in flow.gas:
        _in_words(board, room, stream, at, kept.mass)
        at += _size(room, stream)
    if gas_tall:
        board.add(rect("gast", Box(room.left + 10, flow.gas_top, room.split + 0.5, gas_bottom)))
        for edge in (flow.gas_top, gas_bottom):
            board.add(line("gas1", (room.left + 10, edge), (room.split, edge)))
    at = flow.gas_top
    for _, end in flow.before:
        _ribbon(board, "gas", (room.split, at, room.right, end[0]), end[2])
        at += end[2]
    dissolved = max(gas_bottom - at, 0.0)
    _ribbon(board, "gas", (room.split, at, room.water, flow.node_top), dissolved)
    at, below = flow.node_top + dissolved, gas_bottom + 62
    for stream in flow.other:
        tall = _size(room, stream)
        _ribbon(board, stream.colour, (room.left + 10, below, room.water, at), tall)
        below = max(_in_words(board, room, stream, below, kept.mass) + 12, below + tall)
        at += tall
    bottom = _water(board, room, flow, (dissolved, at), water_l)
    return max(below, bottom)


def _water(board: Board, room: _Room, flow: _Flow, fed: tuple[Px, Px], water_l: str) -> Px:
    """The water as an upright bar: what is dissolved enters at its left, what leaves it at its right."""
    dissolved, fed_bottom = fed
    at = flow.node_top
    for stream, end in flow.after:
        _ribbon(board, stream.colour, (room.water + 3, at, room.right, end[0]), end[2])
        at += end[2]
    bottom = max(fed_bottom, at, flow.node_top + 2)
    board.add(rect("sk", Box(room.water, flow.node_top, room.water + 3, bottom)))
    inside = dissolved > 40
    x, base = room.water - 10, flow.node_top + dissolved / 2 - 3
    if not inside:
        x, base = room.water + 1, flow.node_top - 24
    board.write((x, base), "in the water", "me" if inside else "mm")
    board.write((x, base + 17), water_l, "t12 tp me" if inside else "t12 tp mm")
    return bottom


def _in_words(board: Board, room: _Room, stream: Stream, top: Px, mass: str) -> Px:
    """Bar and words of one stream that comes in; hands back where they end."""
    tall = _size(room, stream)
    board.add(rect(f"{stream.colour}f", Box(room.left, top, room.left + 10, top + max(tall, 1.2))))
    names = wrap(stream.name, room.left - 10, 13, lines=3)
    lines = [(n, "me") for n in names]
    lines += [(f"{stream.value}\u00a0{mass}", "me tb"), (stream.limits, "me t12 tp")]
    base = top + tall / 2 - 17 * len(lines) / 2 + 13
    base = max(base, top - 4)
    for text, css in lines:
        board.write((room.left - 10, base), text, css)
        base += 17
    return base


def _sums(board: Board, kept: Books, top: Px) -> Px:
    board.add(line("ln", (0, top), (board.width, top)))
    base = top + 20
    left = board.write((0, base), kept.sum_of("in"), "tb")
    out = kept.sum_of("out")
    if left.right + 40 + board.width_of(out, "tb") + 20 + board.width_of(kept.closing, "t12") < board.width:
        middle = left.right + 40
    else:
        base += 20
        middle = 0.0
    board.write((middle, base), out, "tb")
    box = board.box_of((board.width, base), kept.closing, "t12 tp me")
    if not board.free(box):
        base += 18
    board.write((board.width, base), kept.closing, "t12 tp me")
    return base + 8


def _phone(board: Board, kept: Books) -> Px:
    scale, left, base = 156.0, 4.0, 15.0
    unit = kept.mass
    values_end = 358 - 10 - max((board.width_of(s.limits, "t12") for s in kept.ins), default=0.0)
    values_wide = max((board.width_of(f"{s.value}\u00a0{unit}", "tb") for s in kept.ins), default=0.0)
    for stream in kept.ins:
        board.write((values_end, base), f"{stream.value}\u00a0{unit}", "tb me")
        board.write((358, base), stream.limits, "t12 tp me")
        for name in wrap(stream.name, values_end - values_wide - 16, 14, lines=3):
            board.write((4, base), name)
            base += 19
        base += 3
    top, x = base - 6, left
    for stream in kept.ins:
        board.add(rect(f"{stream.colour}f", Box(x, top, x + stream.share * scale, top + 8)))
        x += stream.share * scale
    right, at = x, top + 24
    for stream in kept.outs:
        at = _turn_off(board, stream, (right, top + 8, at), stream.share * scale, unit)
        right -= stream.share * scale
    board.add(line("ln", (0, at), (358, at)))
    base = at + 20
    for side in ("in", "out"):
        for text in wrap(kept.sum_of(side), 358, 14, bold=True, lines=4):
            board.write((0, base), text, "tb")
            base += 19
    board.write((0, base), kept.closing, "t12 tp")
    return base + 8


def _turn_off(board: Board, stream: Stream, start: tuple[Px, Px, Px], wide: Px, unit: str) -> Px:
    """One stream falls along the edge of those that stay, turns right and ends at its words."""
    edge, top, at = start
    lines = _out_lines(board, stream, 213, unit)
    words = 18.0 * len(lines)
    block = max(wide, words)
    at += (block - wide) / 2
    bend, end = min(max(wide, 0.7), 30.0), 198.0
    inner, low = edge - wide, at + wide
    corner = f"Q{num(inner)} {num(low)} {num(inner + bend)} {num(low)}"
    flow = f"M{num(inner)} {num(top)}V{num(low - bend)}{corner}H{num(end)}"
    if wide >= 1.2:
        board.add(path(f"{stream.colour}t", f"{flow}V{num(at)}H{num(edge)}V{num(top)}Z"))
    board.add(
        path(f"{stream.colour}1", flow), rect(f"{stream.colour}f", Box(end, at, end + 7, at + max(wide, 1.6)))
    )
    _set_lines(board, (213, at + wide / 2 - words / 2 + 13.5), lines, 18)
    return at + wide / 2 + block / 2 + 14
