"""Single sums of bubbles: the fate of one CO2 bubble, and what an air stone strips."""

from __future__ import annotations

from fizzwright.stages.bench.bubble_fate import BubbleAnswer, BubbleQuestion, Skin, bubble
from fizzwright.stages.bench.bubble_strip import StripAnswer, StripQuestion, strip

__all__ = ["BubbleAnswer", "BubbleQuestion", "Skin", "StripAnswer", "StripQuestion", "bubble", "strip"]
