"""Reads a drawing back: is it sound XML, where does every word stand, does any word cover another?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree import ElementTree

from fizzwright.papers.svg import Box
from fizzwright.papers.typeface import text_width

SPACE = "{http://www.w3.org/2000/svg}"
SIZES = {"t12": (12.0, 13.0), "t15": (15.0, 15.0), "t18": (18.0, 18.0)}


@dataclass(frozen=True)
class Word:
    text: str
    box: Box


def read(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def words(svg: str) -> list[Word]:
    """Every word that stands outside a symbol, with the room it takes."""
    root = read(svg)
    narrow = "narrow" in root.attrib["class"].split()
    found = []
    for element in root.findall(f"{SPACE}text"):
        css = element.attrib.get("class", "").split()
        size = next((SIZES[c][narrow] for c in css if c in SIZES), 14.0 if narrow else 13.0)
        text = "".join(element.itertext())
        wide = text_width(text, size, bold="tb" in css)
        x, y = float(element.attrib["x"]), float(element.attrib["y"])
        left = x - (wide if "me" in css else wide / 2 if "mm" in css else 0)
        # Caps and figures stand 0.73 em over the base line in this type; tails hang 0.18 em under it.
        found.append(Word(text, Box(left, y - 0.73 * size, left + wide, y + 0.18 * size)))
    return found


def collisions(svg: str) -> list[tuple[str, str]]:
    """Pairs of words that cover one another."""
    found = words(svg)
    return [
        (a.text, b.text) for i, a in enumerate(found) for b in found[i + 1 :] if a.box.meets(b.box, gap=0.0)
    ]


def outside(svg: str, slack: float = 1.5) -> list[str]:
    """Words that run off the drawing."""
    _, _, wide, high = (float(n) for n in read(svg).attrib["viewBox"].split())
    return [
        w.text
        for w in words(svg)
        if w.box.left < -slack
        or w.box.top < -slack
        or w.box.right > wide + slack
        or w.box.bottom > high + slack
    ]


def texts(svg: str) -> list[str]:
    return [w.text for w in words(svg)]


def classes(svg: str) -> set[str]:
    return {name for group in re.findall(r'class="([^"]*)"', svg) for name in group.split()}
