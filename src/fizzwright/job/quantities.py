"""What every part of a job is made of: strict frozen tables, and numbers that come with their unit."""

from __future__ import annotations

import datetime as dt
import re
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict

from fizzwright.units import parse

__all__ = [
    "Alkalinity", "Barg", "Celsius", "Clock", "Cm", "Cubic", "Days", "Gram", "Litre", "Metre", "Mg", "Mg_L",
    "Mg_h", "Minutes", "Mm", "Par", "Part", "Per_h", "Ph", "Ppm", "Share", "Us_cm", "Watt", "quantity",
]  # fmt: skip


def quantity(suffix: str) -> BeforeValidator:
    """A validator that reads "4 dKH" as text and keeps the number in the unit of `suffix`.

    Text is parsed by the table of units; a number is refused unless the quantity is a pure number, so
    that a file never leaves a unit to be guessed.
    """

    def read(value: Any) -> Any:
        if isinstance(value, str):
            return parse(value, suffix)
        if isinstance(value, bool):
            return parse(str(value).lower(), suffix)
        if isinstance(value, (int, float)):
            return parse(repr(value), suffix)
        return value

    return BeforeValidator(read)


def _clock(value: Any) -> Any:
    """Read "10:30" as minutes after midnight, tank time; a bare number could mean hours and is refused."""
    if isinstance(value, dt.time) and value.tzinfo is None:
        return 60 * value.hour + value.minute
    match = re.fullmatch(r"\s*([0-9]{1,2})[:.]([0-9]{2})\s*", value) if isinstance(value, str) else None
    if not match or int(match[1]) > 23 or int(match[2]) > 59:
        raise ValueError('needs a time of day between "00:00" and "23:59"')
    return 60 * int(match[1]) + int(match[2])


Cm = Annotated[float, quantity("cm")]
Litre = Annotated[float, quantity("l")]
Cubic = Annotated[float, quantity("m3")]
Celsius = Annotated[float, quantity("c")]
Alkalinity = Annotated[float, quantity("dkh")]
Mg_L = Annotated[float, quantity("mg_l")]
Ph = Annotated[float, quantity("ph")]
Us_cm = Annotated[float, quantity("us_cm")]
Share = Annotated[float, quantity("frac")]
Days = Annotated[float, quantity("days")]
Minutes = Annotated[float, quantity("min")]
Clock = Annotated[int, BeforeValidator(_clock)]
Par = Annotated[float, quantity("umol_m2_s")]
Gram = Annotated[float, quantity("g")]
Mg = Annotated[float, quantity("mg")]
Barg = Annotated[float, quantity("barg")]
Mm = Annotated[float, quantity("mm")]
Metre = Annotated[float, quantity("m")]
Per_h = Annotated[float, quantity("per_h")]
Ppm = Annotated[float, quantity("ppm")]
Mg_h = Annotated[float, quantity("mg_h")]
Watt = Annotated[float, quantity("w")]


class Part(BaseModel):
    """A part of the job: frozen, and strict about keys it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=False, validate_default=False)
