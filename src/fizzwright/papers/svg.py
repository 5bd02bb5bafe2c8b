"""A drawing board: elements and labels in, one SVG string out. Nothing here knows about tanks."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from fizzwright.papers.tokens import Sheet, figure_rules
from fizzwright.papers.typeface import Px, text_width

__all__ = [
    "Board",
    "Box",
    "circle",
    "escape",
    "hatch_line",
    "line",
    "moved",
    "num",
    "path",
    "polyline",
    "rect",
    "standalone",
]

_CAP: Final = 0.76  # height of capitals and figures over the base line, in em
_DROP: Final = 0.22  # depth of descenders, in em


def escape(text: str) -> str:
    """Text for an XML element or attribute; characters XML forbids fall away."""
    legal = "".join(c for c in text if c in "\t\n" or (c >= "\x20" and c not in "\ufffe\uffff\x7f"))
    legal = "".join(c for c in legal if not 0xD800 <= ord(c) <= 0xDFFF)
    for raw, safe in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;")):
        legal = legal.replace(raw, safe)
    return legal


def num(value: Px) -> str:
    """A coordinate to a tenth of a pixel, without a useless `.0`."""
    text = f"{value:.1f}"
    return "0" if text == "-0.0" else text.removesuffix(".0")


def path(css: str, d: str) -> str:
    """A path element."""
    return f'<path class="{css}" d="{d}"/>'


def line(css: str, start: tuple[Px, Px], end: tuple[Px, Px]) -> str:
    """A straight line."""
    return path(css, f"M{num(start[0])} {num(start[1])}L{num(end[0])} {num(end[1])}")


def polyline(points: list[tuple[Px, Px]], *, closed: bool = False) -> str:
    """The path data of straight lines through points."""
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points) + ("Z" if closed else "")


def rect(css: str, box: Box) -> str:
    """A filled rectangle; one of no width or height is drawn a hair thick so that it can be seen."""
    wide, high = max(box.right - box.left, 0.6), max(box.bottom - box.top, 0.6)
    place = f'x="{num(box.left)}" y="{num(box.top)}" width="{num(wide)}" height="{num(high)}"'
    return f'<rect class="{css}" {place}/>'


def circle(css: str, centre: tuple[Px, Px], radius: Px) -> str:
    """A circle."""
    return f'<circle class="{css}" cx="{num(centre[0])}" cy="{num(centre[1])}" r="{num(radius)}"/>'


def moved(inner: str, at: tuple[Px, Px], *, scale: Px = 1.0, turn: int = 0) -> str:
    """A group moved to a place, turned by degrees and scaled."""
    steps = f"translate({num(at[0])} {num(at[1])})"
    if turn:
        steps += f" rotate({turn})"
    if scale != 1.0:
        steps += f" scale({scale:.3g})"
    return f'<g transform="{steps}">{inner}</g>'


def hatch_line(start: tuple[Px, Px], end: tuple[Px, Px], *, side: int, step: Px = 9, length: Px = 7) -> str:
    """Path data of 45 degree hatching along a level or upright line, as ground is drawn in a section.

    `side` is -1 for above (or left of) the line, +1 for below (or right of) it.
    """
    (x0, y0), (x1, y1) = start, end
    upright = x0 == x1
    reach = abs(y1 - y0) if upright else abs(x1 - x0)
    marks = []
    at = 0.0
    while at + length <= reach + 0.01:
        if upright:
            marks.append(f"M{num(x0)} {num(min(y0, y1) + at + length)}l{num(side * length)} {num(-length)}")
        else:
            marks.append(f"M{num(min(x0, x1) + at)} {num(y0)}l{num(length)} {num(side * length)}")
        at += step
    return "".join(marks)


@dataclass(frozen=True)
class Box:
    """A rectangle in drawing pixels."""

    left: Px
    top: Px
    right: Px
    bottom: Px

    def meets(self, other: Box, *, gap: Px = 0.0) -> bool:
        """Whether two boxes overlap or come nearer than a gap."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.top < other.bottom + gap
            and other.top < self.bottom + gap
        )


class Board:
    """One drawing in the making: keeps elements in order and knows where every word stands."""

    def __init__(self, width: Px, height: Px, *, narrow: bool = False) -> None:
        self.width, self.height, self.narrow = width, height, narrow
        self.labels: list[Box] = []
        self._elements: list[str] = []

    def add(self, *elements: str) -> None:
        """Draw elements on top of what is there."""
        self._elements.extend(elements)

    def under(self, *elements: str) -> None:
        """Draw elements beneath all that is there, as a grid is."""
        self._elements[:0] = elements

    def size(self, css: str) -> Px:
        """The type size a class gives on this board."""
        for name, size in (("t12", 12.0), ("t15", 15.0), ("t18", 18.0)):
            if name in css.split():
                return size + (self.narrow and name == "t12")
        return 14.0 if self.narrow else 13.0

    def width_of(self, text: str, css: str = "") -> Px:
        """How wide a word in a class will be."""
        return text_width(text, self.size(css), bold="tb" in css.split())

    def box_of(self, at: tuple[Px, Px], text: str, css: str = "") -> Box:
        """Where a word would stand: `at` is its anchor on the base line."""
        size, wide = self.size(css), self.width_of(text, css)
        anchor = css.split()
        left = at[0] - (wide if "me" in anchor else wide / 2 if "mm" in anchor else 0.0)
        return Box(left, at[1] - _CAP * size, left + wide, at[1] + _DROP * size)

    def write(self, at: tuple[Px, Px], text: str, css: str = "") -> Box:
        """Set a word and remember where it stands; the class `halo` clears the paper behind it."""
        if not text:
            return Box(at[0], at[1], at[0], at[1])
        text = text.replace("\u2060", "")
        box = self.box_of(at, text, css)
        self.labels.append(box)
        kept = css.split()
        if "halo" in kept:
            # A cleared patch, not a stroked outline: typesetters paint outlines glyph over glyph.
            kept.remove("halo")
            css = " ".join(kept)
            self._elements.append(rect("paperf", Box(box.left - 2, box.top, box.right + 2, box.bottom)))
        name = f' class="{css}"' if css else ""
        self._elements.append(f'<text x="{num(at[0])}" y="{num(at[1])}"{name}>{escape(text)}</text>')
        return box

    def free(self, box: Box, *, gap: Px = 2.0) -> bool:
        """Whether a box lies on the board and meets no word."""
        inside = box.left >= 0 and box.top >= 0 and box.right <= self.width and box.bottom <= self.height
        return inside and not any(box.meets(other, gap=gap) for other in self.labels)

    def finish(self, prefix: str, title: str, words: str, *, role: str = "img") -> str:
        """The SVG: named by its title, told in words with its figures; a `group` where it holds links."""
        safe = re.sub(r"[^A-Za-z0-9_-]", "-", prefix) or "fig"
        wide, high = num(self.width), num(self.height)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{"narrow" if self.narrow else "wide"}" '
            f'viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="{role}" '
            f'aria-labelledby="{safe}-t {safe}-d"><title id="{safe}-t">{escape(title)}</title>'
            f'<desc id="{safe}-d">{escape(words)}</desc>' + "".join(self._elements) + "</svg>"
        )


def standalone(svg: str, *, sheet: Sheet = Sheet.DAY, margin: Px = 24.0) -> str:
    """A figure as a file of its own: style rules inside, on the ground of its sheet.

    With a margin of 0 the ground is left out, for setting on paper.
    """
    head = re.match(r'<svg [^>]*?viewBox="0 0 ([\d.]+) ([\d.]+)"[^>]*>', svg)
    if head is None:
        raise ValueError("standalone needs a figure made by this package")
    rules = f"<style>{figure_rules(sheet)}</style>"
    body = svg[head.end() :]
    if not margin:
        return head.group(0) + rules + body
    old_wide, old_high = head.groups()
    right, bottom = float(old_wide) + margin, float(old_high) + margin
    edge, wide, high = num(-margin), num(right + margin), num(bottom + margin)
    opening = head.group(0).replace(
        f'viewBox="0 0 {old_wide} {old_high}" width="{old_wide}" height="{old_high}"',
        f'viewBox="{edge} {edge} {wide} {high}" width="{wide}" height="{high}"',
    )
    ground = rect("paperf", Box(-margin, -margin, right, bottom))
    # Title and description stay the first children, where readers look for them.
    at = body.index("</desc>") + len("</desc>")
    return opening + body[:at] + rules + ground + body[at:]
