"""The way from data and a template of this package to a PDF; whatever the data say, they stay data."""

from __future__ import annotations

import json
import re
from typing import Any

from fizzwright.papers.svg import standalone
from fizzwright.papers.tokens import Sheet
from fizzwright.papers.typeface import covered, font_folder

__all__ = ["drawing", "typeset"]


def typeset(template: str, contents: dict[str, Any]) -> bytes:
    """A tagged PDF (PDF/UA-1) of a template in this package; equal contents give equal bytes.

    The contents travel as one JSON text and are read by the template, never run by it. Only fonts of
    this package are used.
    """
    import typst

    folder = font_folder().parent
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )
    compiler = typst.Compiler(
        str(folder / template), root=str(folder), font_paths=fonts, ignore_system_fonts=True
    )
    text = json.dumps(contents, ensure_ascii=False, sort_keys=True)
    made = compiler.compile(format="pdf", sys_inputs={"data": text}, pdf_standards=["ua-1"])
    if not isinstance(made, bytes):
        raise TypeError("the typesetter gave back no single document")
    return made


def drawing(svg: str) -> dict[str, str]:
    """A drawing for the template: styled for paper, with its words beside it."""
    title = re.search(r"<title[^>]*>(.*?)</title>", svg, re.DOTALL)
    words = re.search(r"<desc[^>]*>(.*?)</desc>", svg, re.DOTALL)
    alt = ". ".join(_unescaped(m.group(1)) for m in (title, words) if m)
    return {"svg": standalone(covered(svg), sheet=Sheet.PRINT, margin=0), "alt": covered(alt)}


def _unescaped(text: str) -> str:
    for safe, raw in (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&#39;", "'"), ("&amp;", "&")):
        text = text.replace(safe, raw)
    return text
