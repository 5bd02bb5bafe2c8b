"""The unit is in the name of every quantity the house hands around."""

from __future__ import annotations

import dataclasses
import inspect
import re

import pytest

from fizzwright.units import suffix_of
from tests.rules.house import NUMERIC, RETURNS_A_NUMBER, modules, public_functions, public_objects

NOT_ONE_NUMBER = re.compile(r"\b(Mapping|dict|Callable|tuple\[float, float\]|bool_?|intp|int64)\b")

# Rooms where a number is a quantity; elsewhere it may be a place on a page or have its unit beside it.
ROOMS = ("engines", "inference", "stages", "catalogue", "job.model")
# Draws and bands of any quantity: the unit comes with the call.
OF_ANY_QUANTITY = {
    "fizzwright.inference.draws",
    "fizzwright.stages.bench.gas_bands",
    "fizzwright.stages.bench.water_draws",
}
# The name is the unit.
NAMED_BY_UNIT = {"kelvin"}
# Keys promised to readers of the JSON that end in a threshold instead of a unit.
PROMISED = {"fizzwright.stages.bench.gas_room.RoomAnswer.hours_above_5000ppm"}


def _is_number(annotation: object) -> bool:
    text = annotation if isinstance(annotation, str) else getattr(annotation, "__name__", str(annotation))
    return bool(NUMERIC.search(text)) and not NOT_ONE_NUMBER.search(text)


def _is_estimate(annotation: object) -> bool:
    return bool(re.search(r"\bEstimate\b", str(annotation)))


MODULES = [
    m
    for m in modules()
    if m.__name__.removeprefix("fizzwright.").startswith(ROOMS) and m.__name__ not in OF_ANY_QUANTITY
]


def _says_its_unit(name: str) -> bool:
    """`feed_mg_h`, `ph_from_co2`, `kelvin`: the quantity's unit ends the name or the part before `from`."""
    return name in NAMED_BY_UNIT or any(suffix_of(part) for part in (name, name.partition("_from_")[0]))


@pytest.mark.parametrize("module", MODULES, ids=lambda m: m.__name__)
def test_parameters_and_returns(module):
    unnamed = []
    for dotted, function in public_functions(module):
        signature = inspect.signature(function)
        unnamed += [
            f"{dotted}({name})"
            for name, parameter in signature.parameters.items()
            if _is_number(parameter.annotation) and suffix_of(name) is None
        ]
        returns = signature.return_annotation
        if RETURNS_A_NUMBER.match(str(returns)) and not _says_its_unit(function.__name__):
            unnamed.append(f"{dotted} -> float")
    assert not unnamed, f"no unit in the name: {', '.join(unnamed)}"


@pytest.mark.parametrize("module", MODULES, ids=lambda m: m.__name__)
def test_fields(module):
    unnamed = []
    for dotted, thing in public_objects(module):
        if dataclasses.is_dataclass(thing):
            fields = {field.name: field.type for field in dataclasses.fields(thing)}
        elif hasattr(thing, "model_fields"):
            fields = {name: info.annotation for name, info in thing.model_fields.items()}
        else:
            continue
        unnamed += [
            f"{dotted}.{name}"
            for name, kind in fields.items()
            if (_is_number(kind) or _is_estimate(kind)) and suffix_of(name) is None
        ]
    unnamed = sorted(set(unnamed) - PROMISED)
    assert not unnamed, f"no unit in the name: {', '.join(unnamed)}"
