"""What stands in a form of the pages."""

from __future__ import annotations

import re


def fields(text):
    """What stands in a page's survey form, by name."""
    found = dict(re.findall(r'<input id="f-[^"]*" name="([^"]+)" value="([^"]*)"', text))
    for name, inner in re.findall(
        r'<select id="f-[^"]*" name="([^"]+)"[^>]*>(.*?)</select>', text, re.DOTALL
    ):
        chosen = re.search(r"<option selected>([^<]*)", inner)
        found[name] = chosen[1] if chosen else ""
    return found
