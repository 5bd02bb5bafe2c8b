"""Colours, line weights and type sizes of every drawing, as named classes with three palettes.

A figure names classes only. On a page the classes take their colours from the page's own tokens, so a
figure turns with the day and the night sheet; a figure that stands alone carries its rules inside, with
the colours written out.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

__all__ = ["FAMILY", "PALETTES", "Sheet", "figure_rules", "figure_variables"]

FAMILY = 'B612,"DejaVu Sans",sans-serif'


class Sheet(StrEnum):
    """Which ground a drawing stands on."""

    DAY = "day"
    NIGHT = "night"
    PRINT = "print"


_NAMES = (
    "paper",
    "shade",
    "ink",
    "pencil",
    "edge",
    "rule",
    "gas",
    "gas-tint",
    "water",
    "water-tint",
    "leaf",
    "leaf-tint",
    "lamp",
    "on-ink",
)
_VALUES = {
    Sheet.DAY: "f8f4ea ece5d5 1d2426 555a57 7d786b cdc5b3 95450f "
    "ebcfb6 004e80 cfe0ea 08674a cbe2d6 e69f00 f8f4ea",
    Sheet.NIGHT: "14191a 20272a e8e1d2 aaa79b 85867f 3b4244 eb9f6b "
    "54351f 8ccaf2 1b3b4e 5cc49a 1d4436 e6b23c 14191a",
    Sheet.PRINT: "ffffff ededed 000000 333333 777777 bbbbbb 7a3608 "
    "dcd2ca 004a75 d9e3ea 00513b d8e5de e69f00 ffffff",
}
PALETTES: Mapping[Sheet, Mapping[str, str]] = {
    sheet: dict(zip(_NAMES, (f"#{digits}" for digits in values.split()), strict=True))
    for sheet, values in _VALUES.items()
}

# One rule a line. `$name` is a colour of the palette. Line weights in drawing pixels at 1:1.
_RULES = """
.nf{fill:none}
.ln{fill:none;stroke:$ink;stroke-width:1;stroke-linecap:round;stroke-linejoin:round}
.hair{fill:none;stroke:$rule;stroke-width:.75}
.tick{fill:none;stroke:$edge;stroke-width:.75}
.thin{fill:none;stroke:$ink;stroke-width:.75}
.mid{fill:none;stroke:$ink;stroke-width:1.5;stroke-linejoin:round;stroke-linecap:round}
.bold{fill:none;stroke:$ink;stroke-width:2.5;stroke-linejoin:round;stroke-linecap:round}
.sy{fill:$paper;stroke:$ink;stroke-width:1.5;stroke-linejoin:round;stroke-linecap:round}
.sk{fill:$ink;stroke:none}
.sf{fill:$ink;stroke:$ink;stroke-width:1.5;stroke-linejoin:round}
.cut{fill:none;stroke:$paper;stroke-width:3.2}
.pipe{fill:none;stroke:$gas;stroke-width:3.5;stroke-linejoin:round}
.gas{fill:none;stroke:$gas;stroke-width:2}
.gas1{fill:none;stroke:$gas;stroke-width:1}
.gasf{fill:$gas}
.gast{fill:$gas-tint}
.water{fill:none;stroke:$water;stroke-width:2}
.water1{fill:none;stroke:$water;stroke-width:1.25}
.waterf{fill:$water}
.watert{fill:$water-tint}
.leaf{fill:none;stroke:$leaf;stroke-width:2}
.leaf1{fill:none;stroke:$leaf;stroke-width:1.25}
.leaff{fill:$leaf}
.leaft{fill:$leaf-tint}
.lampf{fill:$lamp}
.risk{fill:none;stroke:$ink;stroke-width:2}
.riskt{fill:$rule}
.riskf{fill:$ink}
.shade{fill:$shade}
.paperf{fill:$paper}
.dash{stroke-dasharray:5 4}
.chain{stroke-dasharray:12 3 2 3}
.dots{stroke-dasharray:1.5 3.5;stroke-linecap:butt}
.dot{fill:$paper;stroke:$ink;stroke-width:1.5}
.hatch{fill:none;stroke:$ink;stroke-width:.9}
.hatchw{fill:none;stroke:$edge;stroke-width:.8}
.bal{fill:$paper;stroke:$ink;stroke-width:1}
.bal.on{fill:$gas;stroke:$gas}
text{font-family:$family;font-size:13px;fill:$ink;font-variant-numeric:tabular-nums}
.t12{font-size:12px}
.narrow text{font-size:14px}
.narrow .t12{font-size:13px}
.t15,.narrow .t15{font-size:15px}
.t18,.narrow .t18{font-size:18px}
.tb{font-weight:700}
.tp{fill:$pencil}
.tg{fill:$gas}
.tw{fill:$water}
.tl{fill:$leaf}
.to{fill:$on-ink}
.ti{font-style:italic}
.mm{text-anchor:middle}
.me{text-anchor:end}
"""


def _filled(colours: Mapping[str, str]) -> str:
    rules = _RULES.replace("$family", FAMILY)
    for name in sorted(colours, key=len, reverse=True):
        rules = rules.replace(f"${name}", colours[name])
    return rules.strip()


def figure_rules(sheet: Sheet = Sheet.DAY) -> str:
    """The style rules of every figure class with the colours of one palette written out."""
    return _filled(PALETTES[sheet])


def figure_variables() -> str:
    """The same rules with page tokens such as `var(--gas)`, for the style sheet of a page."""
    return _filled({name: f"var(--{name})" for name in _NAMES})
