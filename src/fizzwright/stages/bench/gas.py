"""Single sums of the gas line: bubble count, tube, bottle, room, leak."""

from __future__ import annotations

from fizzwright.stages.bench.gas_bottle import BottleAnswer, BottleQuestion, bottle
from fizzwright.stages.bench.gas_count import CountAnswer, CountQuestion, count
from fizzwright.stages.bench.gas_leak import LeakAnswer, LeakQuestion, leak
from fizzwright.stages.bench.gas_room import RoomAnswer, RoomQuestion, room
from fizzwright.stages.bench.gas_tube import TubeAnswer, TubeQuestion, tube

__all__ = [
    "BottleAnswer",
    "BottleQuestion",
    "CountAnswer",
    "CountQuestion",
    "LeakAnswer",
    "LeakQuestion",
    "RoomAnswer",
    "RoomQuestion",
    "TubeAnswer",
    "TubeQuestion",
    "bottle",
    "count",
    "leak",
    "room",
    "tube",
]
