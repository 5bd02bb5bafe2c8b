"""Which column of ours a heading means, and how its unit becomes ours."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from fizzwright.errors import InputError
from fizzwright.units import SUFFIXES, parse, unit_text

__all__ = ["COLUMNS", "FILL_INS", "UNKNOWN", "Column", "Heading", "map_heading", "own_heading", "unit_scale"]


# A number in the unit of the column it stands in.
Fake = float


@dataclass(frozen=True)
class Column:
    """One column of ours: unit suffix, other names for it, what no such reading can be.

    `span` bounds what an instrument can honestly show; `fakes` are readings that mean a fault of the
    instrument. `unit_needed` says that a heading without a unit is not understood.
    """

    name: str
    suffix: str
    aliases: frozenset[str]
    span: tuple[float, float]
    fakes: frozenset[Fake] = frozenset()
    unit_needed: bool = False


def _words(*texts: str) -> frozenset[str]:
    return frozenset(word for text in texts for word in text.split("|"))


COLUMNS: Mapping[str, Column] = {
    row.name: row
    for row in (
        Column("ph", "ph", _words("ph|ph value|ph wert|phwert"), (2.0, 12.0), fakes=frozenset({0.0, 14.0})),
        Column(
            "temperature_c",
            "c",
            _words("temperature|temp|t|temperatur|wassertemperatur|température|temperatura"),
            (-5.0, 50.0),
            fakes=frozenset({-127.0, 85.0}),
        ),
        Column(
            "kh_dkh",
            "dkh",
            _words("kh|alk|alkalinity|carbonate hardness|karbonathärte|alcalinité"),
            (0.0, 60.0),
        ),
        Column(
            "ec_us_cm",
            "us_cm",
            _words("ec|ec25|cond|conductivity|leitfähigkeit|leitwert|conductivité"),
            (1.0, 20000.0),
            fakes=frozenset({0.0}),
        ),
        Column("o2_mg_l", "mg_l", _words("o2|do|oxygen|dissolved oxygen|sauerstoff|oxygène"), (0.0, 40.0)),
        Column(
            "room_co2_ppm",
            "ppm",
            _words("room co2|air co2|co2 room|co2 air|raum co2|co2 raum|indoor co2"),
            (250.0, 50000.0),
            fakes=frozenset({0.0}),
        ),
        Column(
            "bubbles_per_s", "per_s", _words("bubbles|bubble|bubble rate|bubble count|blasen"), (0.0, 60.0)
        ),
        Column("checker_hue_deg", "deg", _words("checker hue|drop checker hue|hue|checker"), (0.0, 360.0)),
        Column(
            "bottle_gross_g",
            "g",
            _words(
                "bottle gross|bottle mass|bottle weight|cylinder mass|cylinder weight|gross|scale",
                "weight|mass|flasche|gewicht",
            ),
            (1.0, 300000.0),
            fakes=frozenset({0.0}),
            unit_needed=True,
        ),
        Column(
            "bottle_gauge_barg",
            "barg",
            _words(
                "bottle gauge|high gauge|bottle pressure|cylinder pressure|high pressure|high side",
                "flaschendruck",
            ),
            (-1.1, 300.0),
            unit_needed=True,
        ),
        Column(
            "low_gauge_barg",
            "barg",
            _words("low gauge|low pressure|working pressure|working gauge|low side|arbeitsdruck"),
            (-1.1, 40.0),
            unit_needed=True,
        ),
    )
}

# Readings that mean "no reading" in any column: full scale of 16-bit counters and the usual fill-ins.
FILL_INS = (65535.0, 6553.5, 655.35, 32767.0, 3276.7, 327.67, -32768.0, 9999.0, -9999.0, 999.9, -999.0)

UNKNOWN = "no column of ours goes by that name"

_STAMP = _words(
    "time|timestamp|date time|datetime|date and time|local time|time local|utc|utc time|time utc|ts",
    "recorded at|epoch|epoch s|epoch ms|unix|unix time|unix timestamp",
    "zeitstempel|datum zeit|datum uhrzeit|horodatage|date heure|fecha hora",
)
_DATE = _words("date|datum|fecha|jour")
_CLOCK = _words("time|clock|time of day|zeit|uhrzeit|heure|hora|tijd")
_EVENT = _words("event|events|note|notes|comment|remark|remarks|bemerkung|ereignis|notiz|remarque")
_FILLERS = _words("tank|water|aquarium|probe|sensor|value|reading|avg|average|mean|current|measured|wasser|1")

_BRACKET = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_ZONE = re.compile(r"[,\s]*\b(?:utc|gmt)\s*(?:([+-])(\d{1,2})(?::?(\d{2}))?)?\s*$")


@dataclass(frozen=True)
class Heading:
    """What one heading means.

    `column` is a name of ours, or "time", "date", "clock" or "event", or "" where it is not read;
    `reason` then says why. `turn` holds the scale and the offset that make the file's number ours.
    `offset_s` is the zone a time heading names, `day_first` the order of dates it names.
    """

    text: str
    column: str
    turn: tuple[float, float] = (1.0, 0.0)
    unit: str = ""
    assumed: bool = False
    reason: str = ""
    offset_s: int | None = None
    day_first: bool | None = None


def map_heading(text: str) -> Heading:
    """What a heading means, by its name and unit.

    Examples
    --------
    >>> heading = map_heading("Water temp (°F)")
    >>> heading.column, round(heading.turn[0] * 77 + heading.turn[1], 6)
    ('temperature_c', 25.0)
    """
    plain = _plain(text)
    own = plain.replace(" ", "_")
    if own in COLUMNS:
        return own_heading(text, own)
    if found := _time_heading(text, plain):
        return found
    bracket = _BRACKET.search(plain)
    name = " ".join(_BRACKET.sub(" ", plain).split())
    if name in _EVENT:
        return Heading(text, "event")
    unit = bracket[1].strip() if bracket else ""
    return _reading_heading(text, name, unit)


def own_heading(text: str, column: str) -> Heading:
    """A heading told to mean a column of ours, in our unit unless it names another."""
    if column in {"time", "date", "clock", "event"}:
        found = map_heading(text) if text else None
        zone = found.offset_s if found else None
        return Heading(text, column, offset_s=zone, day_first=found.day_first if found else None)
    suffix = COLUMNS[column].suffix
    bracket = _BRACKET.search(_plain(text))
    unit = bracket[1].strip() if bracket else ""
    turn = unit_scale(unit, suffix) or (1.0, 0.0)
    return Heading(text, column, turn, _as_written(unit, text) or unit_text(suffix))


def unit_scale(unit: str, suffix: str) -> tuple[float, float] | None:
    """How a number in a unit becomes one in the suffix's unit: (scale, offset), None where it cannot."""
    if not unit:
        return None
    try:
        zero, one = parse(f"0 {unit}", suffix), parse(f"1 {unit}", suffix)
    except InputError:
        return None
    return one - zero, zero


def _as_written(unit: str, text: str) -> str:
    """A unit in the capitals the heading gave it."""
    at = text.lower().find(unit)
    return text[at : at + len(unit)] if at >= 0 else unit


def _plain(text: str) -> str:
    """Lower case, single blanks, underscores and dashes as blanks, quotes and colons gone."""
    text = text.strip().strip("\"'").lower().replace("_", " ").replace(":", " ").replace("*", " ")
    text = re.sub(r"(?<=[a-zà-ÿ])-(?=[a-zà-ÿ])", " ", text)
    return " ".join(text.split())


def _time_heading(text: str, plain: str) -> Heading | None:
    bracket = _BRACKET.search(plain)
    inside = bracket[1] if bracket else ""
    name = " ".join(_BRACKET.sub(" ", plain).replace("/", " ").split())
    zone = _ZONE.search(" ".join(text.lower().replace("(", " ").replace(")", " ").split()))
    offset_s = None
    if zone:
        sign = -1 if zone[1] == "-" else 1
        offset_s = sign * (3600 * int(zone[2] or 0) + 60 * int(zone[3] or 0))
        name = _ZONE.sub("", re.split(r"[,\s]*\b(?:utc|gmt)\b", name)[0]).strip(" ,") or "utc"
    day_first = (
        inside.index("d") < inside.index("m")
        if re.search(r"\bd{1,2}\W+m{1,2}\b|\bm{1,2}\W+d{1,2}\b", inside)
        else None
    )
    if name in _CLOCK and name != "time":
        return Heading(text, "clock", offset_s=offset_s)
    if name in _DATE:
        return Heading(text, "date", offset_s=offset_s, day_first=day_first)
    if name in _STAMP or (zone and name in _CLOCK):
        return Heading(text, "time", offset_s=offset_s, day_first=day_first)
    return None


def _reading_heading(text: str, name: str, bracket_unit: str) -> Heading:
    """A reading by the longest name that is known, the rest being its unit."""
    words = name.replace(" / ", " ").split()
    if len(words) == 1 and "/" in words[0]:
        head, _, tail = words[0].partition("/")
        words = [head, "/" + tail]
    refusal = ""
    for cut in range(len(words), 0, -1):
        called = " ".join(word for word in words[:cut] if word not in _FILLERS)
        column = next((row for row in COLUMNS.values() if called in row.aliases), None)
        if column is None:
            continue
        rest = re.sub(r"^(?:in\s+|/\s+)", "", " ".join(words[cut:])).replace("per ", "/")
        unit = bracket_unit or rest
        if bracket_unit and rest:
            continue
        if unit in {"/sec", "/second"}:
            unit = "/s"
        unit = "/min" if unit == "/minute" else unit
        if unit and (scale := unit_scale(unit, column.suffix)):
            return Heading(text, column.name, scale, _as_written(unit, text))
        if unit:
            refusal = refusal or f'"{unit}" is no unit of {SUFFIXES[column.suffix].measures}'
        elif column.unit_needed:
            return Heading(text, "", reason=f"{column.name} needs a unit in its heading")
        else:
            return Heading(text, column.name, unit=unit_text(column.suffix), assumed=column.suffix != "ph")
    if not refusal and "co2" in words:
        refusal = "CO2 of the room or of the water; name it room_co2_ppm if it is the room's"
    return Heading(text, "", reason=refusal or UNKNOWN)
