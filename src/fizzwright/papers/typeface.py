"""The type the papers are set in, and how wide a word will be: read from the font files themselves."""

from __future__ import annotations

import struct
from collections.abc import Mapping
from functools import cache
from importlib import resources
from pathlib import Path

__all__ = ["Px", "covered", "font_folder", "text_width", "wrap"]

# Lengths in drawing pixels at 1:1, which is the unit of every viewBox here.
Px = float

_CUTS = {
    False: ("B612-Regular.otf", "DejaVuSans-subset.ttf"),
    True: ("B612-Bold.otf", "DejaVuSans-subset.ttf"),
}
# Zero-width marks that need no glyph: joiners, variation selectors.
_WIDTHLESS = frozenset("\u200b\u200c\u200d\u2060\ufe0e\ufe0f\u00ad")
_MISSING = "\ufffd"


def font_folder() -> Path:
    """Where the font files of the papers lie."""
    return Path(str(resources.files("fizzwright.papers").joinpath("fonts")))


def _tables(data: bytes) -> dict[str, int]:
    count = struct.unpack(">H", data[4:6])[0]
    rows = (struct.unpack(">4sIII", data[12 + 16 * i : 28 + 16 * i]) for i in range(count))
    return {tag.decode("latin-1"): offset for tag, _, offset, _ in rows}


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Character code to glyph number, from the Windows Unicode table (format 4)."""
    count = struct.unpack(">H", data[cmap + 2 : cmap + 4])[0]
    records = [struct.unpack(">HHI", data[cmap + 4 + 8 * i : cmap + 12 + 8 * i]) for i in range(count)]
    start = cmap + next(offset for platform, encoding, offset in records if (platform, encoding) == (3, 1))
    segments = struct.unpack(">H", data[start + 6 : start + 8])[0] // 2

    def column(index: int, kind: str) -> tuple[int, ...]:
        at = start + 14 + 2 * segments * index + (2 if index else 0)
        return struct.unpack(f">{segments}{kind}", data[at : at + 2 * segments])

    ends, starts, deltas, offsets = column(0, "H"), column(1, "H"), column(2, "h"), column(3, "H")
    offsets_at = start + 16 + 6 * segments
    found = {}
    for i, (low, high) in enumerate(zip(starts, ends, strict=True)):
        for code in range(low, min(high, 0xFFFE) + 1):
            glyph = code
            if offsets[i]:
                at = offsets_at + 2 * i + offsets[i] + 2 * (code - low)
                glyph = struct.unpack(">H", data[at : at + 2])[0]
            found[code] = (glyph + deltas[i]) & 0xFFFF
    return {code: glyph for code, glyph in found.items() if glyph}


@cache
def _advances(file: str) -> Mapping[str, float]:
    """Advance widths in em by character, for every character the file has a glyph for."""
    data = (font_folder() / file).read_bytes()
    table = _tables(data)
    units = float(struct.unpack(">H", data[table["head"] + 18 : table["head"] + 20])[0])
    metrics = struct.unpack(">H", data[table["hhea"] + 34 : table["hhea"] + 36])[0]

    def advance(glyph: int) -> float:
        at = table["hmtx"] + 4 * min(glyph, metrics - 1)
        return float(struct.unpack(">H", data[at : at + 2])[0]) / units

    return {chr(code): advance(glyph) for code, glyph in _glyphs(data, table["cmap"]).items()}


def text_width(text: str, size: Px, *, bold: bool = False) -> Px:
    """How wide a line of text is when set at a size, kerning left out."""
    own, spare = (_advances(file) for file in _CUTS[bold])
    return size * sum(own.get(c, spare.get(c, 1.0)) for c in text if c not in _WIDTHLESS)


def covered(text: str) -> str:
    """The text with every character our type cannot draw shown as the replacement mark.

    Control characters become blanks; joiners and selectors that only steer pictograms fall away.
    """
    own, spare = _advances(_CUTS[False][0]), _advances(_CUTS[False][1])
    plain = "".join(" " if ord(c) < 32 or 127 <= ord(c) < 160 else c for c in text)
    return "".join(c if c in own or c in spare else _MISSING for c in plain if c not in _WIDTHLESS)


def wrap(text: str, width: Px, size: Px, *, bold: bool = False, lines: int = 2) -> tuple[str, ...]:
    """The text broken at blanks into at most so many lines; what does not fit ends in an ellipsis."""
    words = text.split(" ")
    done: list[str] = []
    line = ""
    for index, word in enumerate(words):
        trial = f"{line} {word}".strip()
        if not line or text_width(trial, size, bold=bold) <= width:
            line = trial
        elif len(done) == lines - 1:
            line = " ".join([line, *words[index:]])
            break
        else:
            done.append(line)
            line = word
    return tuple(_cut(one, width, size, bold) for one in [*done, line] if one)


def _cut(line: str, width: Px, size: Px, bold: bool) -> str:
    if text_width(line, size, bold=bold) <= width:
        return line
    while line and text_width(line + "…", size, bold=bold) > width:
        line = line[:-1]
    return line.rstrip() + "…"
