"""The one table of units: every name suffix, what it accepts in text, how it is shown.

Numbers inside Fizzwright are plain floats whose names end in a suffix of this table. Text becomes a
number in `parse`, a number becomes text in `show`; nothing else in the project converts units.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from fizzwright.errors import Fault, InputError

__all__ = [
    "SUFFIXES",
    "Suffix",
    "System",
    "convert",
    "number_text",
    "parse",
    "show",
    "suffix_of",
    "unit_text",
]


class System(StrEnum):
    """Which units a reader wants to see."""

    METRIC = "metric"
    US = "us"


@dataclass(frozen=True)
class Suffix:
    """One name suffix: what it measures, the unit shown, and the units text may use.

    `accepts` maps each unit spelling (folded: no blanks, lower case) to (scale, offset) so that
    value = scale * number + offset. `shown` and `shown_us` are spellings out of `accepts` as they are
    printed. `bare` allows a number with no unit at all (pH, counts, shares).
    """

    name: str
    measures: str
    shown: str
    accepts: Mapping[str, tuple[float, float]]
    shown_us: str = ""
    bare: bool = False


def _fold(unit: str) -> str:
    """One spelling for one unit: lower case, no blanks, plain letters for sub- and superscripts."""
    table = str.maketrans(
        {"µ": "u", "μ": "u", "²": "2", "³": "3", "₂": "2", "₃": "3", "⁻": "-", "·": "", "°": "", "^": ""}
    )
    return re.sub(r"\s+", "", unit).translate(table).lower()


def _suffix(
    name: str,
    measures: str,
    shown: str,
    units: Mapping[str, float | tuple[float, float]],
    *,
    us: str = "",
    bare: bool = False,
) -> Suffix:
    accepts = {}
    for spellings, factor in units.items():
        pair = factor if isinstance(factor, tuple) else (factor, 0.0)
        for spelling in spellings.split("|"):
            accepts[_fold(spelling)] = pair
    for spelling in filter(None, (shown, us)):
        if _fold(spelling) not in accepts:
            raise ValueError(f"suffix {name} shows {spelling} but does not accept it")
    return Suffix(name, measures, shown, accepts, us or shown, bare)


PSI_BAR = 0.0689475729
ATM_BAR = 1.01325
INCH_M = 0.0254
GALLON_L = 3.785411784
POUND_G = 453.59237
OUNCE_G = POUND_G / 16
# 1 dKH is 10 mg CaO per litre (chemistry notes); M(CaO) 56.0774, M(CaCO3) 100.0869 g/mol.
DKH_MEQ_L = 20.0 / 56.0774
CACO3_MG_MEQ = 50.04345
# 1 mL of CO2 at 20 degC and 1.01325 bar weighs 1.8393 mg (Span & Wagner density).
CO2_MG_PER_ML_20C = 1.8393

_LENGTH_M = {
    "m": 1.0,
    "cm": 0.01,
    "mm": 1e-3,
    "um": 1e-6,
    'in|inch|inches|"': INCH_M,
    "ft|foot|feet|'": 0.3048,
}
_VOLUME_L = {
    "l|litre|litres|liter|liters": 1.0, "ml": 1e-3, "ul": 1e-6, "m3": 1000.0,
    "gal|gallon|gallons|usgal": GALLON_L, "ukgal|impgal": 4.54609, "ft3|cuft": 28.316846592, "floz": GALLON_L / 128,
}  # fmt: skip
_MASS_G = {"g": 1.0, "kg": 1000.0, "mg": 1e-3, "lb|lbs": POUND_G, "oz": OUNCE_G}
_TIME_S = {
    "s|sec": 1.0,
    "min": 60.0,
    "h|hr|hour|hours": 3600.0,
    "d|day|days": 86400.0,
    "week|weeks|wk": 604800.0,
    "ms": 1e-3,
}
_ALK_DKH = {
    "dkh|kh|dh|degkh": 1.0, "meq/l|meq": 1.0 / DKH_MEQ_L, "mmol/lhco3|mmol/l": 1.0 / DKH_MEQ_L,
    "mg/lcaco3|mgcaco3/l|ppmcaco3|mg/lascaco3": 1.0 / (CACO3_MG_MEQ * DKH_MEQ_L),
    "mg/lhco3|mghco3/l": 1.0 / (61.0168 * DKH_MEQ_L), "fh|frenchdegree": 10.0 / (CACO3_MG_MEQ * DKH_MEQ_L) ,
    "eh|clark": 14.254 / (CACO3_MG_MEQ * DKH_MEQ_L),
}  # fmt: skip


def _scaled(table: Mapping[str, float], per: float) -> dict[str, float | tuple[float, float]]:
    return {spelling: factor / per for spelling, factor in table.items()}


_ROWS = (
    _suffix("c", "temperature", "°C", {"c|degc|celsius": 1.0, "f|degf|fahrenheit": (5 / 9, -160 / 9), "k": (1.0, -273.15)}, us="°F"),
    _suffix("k", "absolute temperature", "K", {"k": 1.0, "c|degc": (1.0, 273.15), "f|degf": (5 / 9, 459.67 * 5 / 9)}),
    _suffix("barg", "pressure over the room's air", "bar g",
            {"barg|bar": 1.0, "psig|psi": PSI_BAR, "kpag|kpa": 0.01, "mpag|mpa": 10.0, "mbarg|mbar": 1e-3, "bara|barabs": (1.0, -ATM_BAR), "psia": (PSI_BAR, -ATM_BAR)}, us="psi"),
    _suffix("bara", "absolute pressure", "bar abs",
            {"bara|barabs": 1.0, "psia|psiabs": PSI_BAR, "kpaa|kpaabs": 0.01, "mbara|hpa": 1e-3, "atm": ATM_BAR, "barg": (1.0, ATM_BAR), "psig": (PSI_BAR, ATM_BAR)}, us="psia"),
    _suffix("pa", "pressure", "Pa", {"pa": 1.0, "kpa": 1e3, "hpa": 100.0, "mbar": 100.0, "bar": 1e5, "atm": 101325.0, "psi": PSI_BAR * 1e5}),
    _suffix("atm", "absolute pressure or partial pressure", "atm", {"atm": 1.0, "bar": 1 / ATM_BAR, "kpa": 1 / 101.325}),
    _suffix("mg_l", "mass concentration", "mg/L", {"mg/l|ppm": 1.0, "g/l": 1000.0, "ug/l": 1e-3, "g/m3": 1.0}),
    _suffix("mmol_l", "amount concentration", "mmol/L", {"mmol/l|mm": 1.0, "umol/l": 1e-3, "mol/l": 1000.0}),
    _suffix("meq_l", "alkalinity", "meq/L", _scaled(_ALK_DKH, 1 / DKH_MEQ_L)),
    _suffix("dkh", "carbonate hardness (alkalinity)", "dKH", dict(_ALK_DKH)),
    _suffix("dgh", "general hardness", "dGH",
            {"dgh|gh|dh": 1.0, "mg/lcaco3|ppmcaco3": 1 / 17.8477, "mmol/l": 5.60774}),
    _suffix("l", "volume", "L", dict(_VOLUME_L), us="gal"),
    _suffix("ml", "volume", "mL", _scaled(_VOLUME_L, 1e-3)),
    _suffix("ul", "volume", "µL", _scaled(_VOLUME_L, 1e-6)),
    _suffix("m3", "volume", "m³", _scaled(_VOLUME_L, 1000.0), us="ft3"),
    _suffix("m", "length", "m", dict(_LENGTH_M), us="ft"),
    _suffix("cm", "length", "cm", _scaled(_LENGTH_M, 0.01), us="in"),
    _suffix("mm", "length", "mm", _scaled(_LENGTH_M, 1e-3), us="mm"),
    _suffix("um", "length", "µm", _scaled(_LENGTH_M, 1e-6)),
    _suffix("m2", "area", "m²", {"m2": 1.0, "cm2": 1e-4, "mm2": 1e-6, "ft2|sqft": 0.09290304, "in2|sqin": INCH_M**2}, us="ft2"),
    _suffix("g", "mass", "g", dict(_MASS_G), us="oz"),
    _suffix("kg", "mass", "kg", _scaled(_MASS_G, 1000.0), us="lb"),
    _suffix("mg", "mass", "mg", _scaled(_MASS_G, 1e-3)),
    _suffix("mg_h", "gas flow as mass", "mg/h",
            {"mg/h": 1.0, "g/h": 1000.0, "g/d|g/day": 1000 / 24, "mg/min": 60.0, "ml/min": 60 * CO2_MG_PER_ML_20C}),
    _suffix("g_day", "mass in a day", "g/day", {"g/d|g/day": 1.0, "mg/h": 0.024, "oz/d|oz/day": OUNCE_G, "kg/d|kg/day": 1000.0}, us="oz/day"),
    _suffix("g_m2", "dry mass over bottom area", "g/m²", {"g/m2": 1.0, "kg/m2": 1000.0}),
    _suffix("mg_m2_h", "mass flux", "mg/m²/h", {"mg/m2/h": 1.0, "g/m2/h": 1000.0, "g/m2/d|g/m2/day": 1000 / 24}),
    _suffix("mg_g_h", "rate for a dry mass", "mg/g/h", {"mg/g/h|mg/gdw/h": 1.0}),
    _suffix("ml_min_n", "gas flow at 20 °C and 1 atm", "mL/min (20 °C, 1 atm)",
            {"ml/min|ml/min(20c,1atm)": 1.0, "l/min": 1000.0, "l/h": 1000 / 60, "mg/h": 1 / (60 * CO2_MG_PER_ML_20C)}),
    _suffix("l_h", "water or air flow", "L/h", {"l/h|lph": 1.0, "l/min": 60.0, "l/s": 3600.0, "gph|gal/h": GALLON_L, "m3/h": 1000.0}, us="gal/h"),
    _suffix("s", "time", "s", dict(_TIME_S)),
    _suffix("min", "time", "min", _scaled(_TIME_S, 60.0)),
    _suffix("h", "time", "h", _scaled(_TIME_S, 3600.0)),
    _suffix("days", "time", "days", _scaled(_TIME_S, 86400.0)),
    _suffix("years", "time", "years", {"y|year|years|yr": 1.0, "month|months": 1 / 12}),
    _suffix("per_h", "rate", "/h", {"/h|1/h|perh|perhour|h-1|ach": 1.0, "/min": 60.0, "/d|/day": 1 / 24}),
    _suffix("per_s", "rate", "/s", {"/s|1/s|pers|persecond|s-1|hz|bps": 1.0, "/min|1/min|permin|bpm": 1 / 60}),
    _suffix("per_k", "rate for a kelvin", "/K", {"/k|1/k": 1.0}),
    _suffix("m_s", "speed", "m/s", {"m/s": 1.0, "cm/s": 0.01, "mm/s": 1e-3, "ft/s": 0.3048, "cm/h": 0.01 / 3600}),
    _suffix("cm_h", "transfer velocity", "cm/h", {"cm/h": 1.0, "m/s": 3.6e5, "m/d|m/day": 100 / 24, "m/h": 100.0}),
    _suffix("m2_s", "diffusivity", "m²/s", {"m2/s": 1.0, "cm2/s": 1e-4}),
    _suffix("frac", "share", "%", {"%|percent": 0.01, "frac": 1.0}, bare=True),
    _suffix("ph", "pH", "pH", {"ph": 1.0}, bare=True),
    _suffix("ppm", "share of a gas in dry air", "ppm", {"ppm|ppmv|umol/mol": 1.0, "%": 1e4}),
    _suffix("us_cm", "conductivity at 25 °C", "µS/cm", {"us/cm|us": 1.0, "ms/cm|ms": 1000.0, "ms/m": 10.0, "ds/m": 1000.0}),
    _suffix("umol_m2_s", "photosynthetic light (PAR)", "µmol/m²/s", {"umol/m2/s|umol|ppfd": 1.0}),
    _suffix("deg", "hue angle", "°", {"deg|": 1.0}, bare=True),
    _suffix("mol_l", "amount concentration", "mol/L", {"mol/l|m": 1.0, "mmol/l": 1e-3, "umol/l": 1e-6}),
    _suffix("mol_kg", "amount in a mass of water", "mol/kg", {"mol/kg": 1.0, "mmol/kg": 1e-3}),
    _suffix("mol_kg_atm", "solubility", "mol/kg/atm", {"mol/kg/atm": 1.0}),
    _suffix("mol_l_atm", "solubility", "mol/L/atm", {"mol/l/atm": 1.0}),
    _suffix("mol_m3_pa", "solubility", "mol/m³/Pa", {"mol/m3/pa": 1.0}),
    _suffix("mol", "amount", "mol", {"mol": 1.0, "mmol": 1e-3}),
    _suffix("mol_m3", "amount concentration", "mol/m³", {"mol/m3|mmol/l": 1.0}),
    _suffix("kg_m3", "density", "kg/m³", {"kg/m3|g/l": 1.0, "kg/l|g/cm3": 1000.0}),
    _suffix("kg_l", "fill ratio", "kg/L", {"kg/l": 1.0}),
    _suffix("pa_s", "viscosity", "Pa s", {"pas": 1.0, "mpas|cp": 1e-3}),
    _suffix("n_m", "surface tension", "N/m", {"n/m": 1.0, "mn/m": 1e-3}),
    _suffix("j_kg", "energy for a mass", "J/kg", {"j/kg": 1.0, "kj/kg": 1e3}),
    _suffix("j_mol", "energy for an amount", "J/mol", {"j/mol": 1.0, "kj/mol": 1e3}),
    _suffix("barrer", "permeability", "barrer", {"barrer": 1.0}),
    _suffix("w", "power", "W", {"w": 1.0}),
    _suffix("kwh", "energy", "kWh", {"kwh": 1.0}),
    _suffix("bar_h", "pressure drift", "bar/h", {"bar/h": 1.0, "mbar/h": 1e-3}),
    _suffix("mg_l_h", "rate of change of a concentration", "mg/L/h", {"mg/l/h": 1.0}),
    _suffix("mg_kg_h", "rate for a body mass", "mg/kg/h", {"mg/kg/h": 1.0}),
    _suffix("mg_h_l", "rate for a water volume", "mg/h/L", {"mg/h/l": 1.0}),
    _suffix("dkh_day", "drift of carbonate hardness", "dKH/day", {"dkh/day|dkh/d": 1.0}),
    _suffix("meq_l_h", "drift of alkalinity", "meq/L/h", {"meq/l/h": 1.0}),
    _suffix("mg_h_l_day", "dose over a day", "mg h/L", {"mgh/l": 1.0}),
    # Pure numbers: the name says what kind.
    _suffix("ratio", "ratio", "", {"": 1.0}, bare=True),
    _suffix("factor", "factor", "", {"": 1.0}, bare=True),
    _suffix("number", "dimensionless number", "", {"": 1.0}, bare=True),
    _suffix("count", "count", "", {"": 1.0}, bare=True),
    _suffix("exponent", "exponent", "", {"": 1.0}, bare=True),
    _suffix("log10", "decimal logarithm", "", {"": 1.0}, bare=True),
)  # fmt: skip

SUFFIXES: Mapping[str, Suffix] = {row.name: row for row in _ROWS}
_LONGEST_FIRST = sorted(SUFFIXES, key=len, reverse=True)

_NUMBER = re.compile(
    r"^\s*([+\-−]?\d[\d\s]*(?:[.,]\d+)?(?:[eE][+\-]?\d+)?|[+\-−]?[.,]\d+)\s*(.*?)\s*$", re.DOTALL
)


def suffix_of(name: str) -> str | None:
    """The unit suffix a name ends in (`water_c` gives `c`), or None where it has none."""
    for suffix in _LONGEST_FIRST:
        if name == suffix or name.endswith("_" + suffix):
            return suffix
    return None


def unit_text(suffix: str, system: System = System.METRIC) -> str:
    """The unit of a suffix as printed, for instance `mg/L`."""
    row = SUFFIXES[suffix]
    return row.shown_us if system is System.US else row.shown


# How folded spellings are printed; parts of a spelling are replaced in this order.
_PRINTED = (
    ("caco3", " CaCO3"), ("hco3", " HCO3"), ("barg", "bar g"), ("barabs", "bar abs"), ("degc", "°C"), ("degf", "°F"),
    ("/ml", "/mL"), ("ul", "µL"), ("ml", "mL"), ("/l", "/L"), ("dkh", "dKH"), ("dgh", "dGH"), ("us/cm", "µS/cm"),
    ("ms/cm", "mS/cm"), ("kpa", "kPa"), ("mpa", "MPa"), ("um", "µm"), ("m2", "m²"), ("m3", "m³"), ("umol", "µmol"),
)  # fmt: skip
_ALONE = {
    "c": "°C", "f": "°F", "k": "K", "l": "L", "m2": "m²", "m3": "m³", "w": "W", "kwh": "kWh", "usgal": "gal",
    "fh": "°fH", "eh": "°eH", "mpas": "mPa s", "hpa": "hPa", "kj/kg": "kJ/kg", "kj/mol": "kJ/mol", "mn/m": "mN/m",
    "ms/m": "mS/m", "l/h": "L/h", "l/min": "L/min", "l/s": "L/s", "ft2": "ft²", "ft3": "ft³", "in2": "in²",
}  # fmt: skip


def _printed(folded: str) -> str:
    """A folded spelling as a person would write it: `mg/lcaco3` as mg/L CaCO3."""
    if folded in _ALONE:
        return _ALONE[folded]
    for plain, nice in _PRINTED:
        folded = folded.replace(plain, nice)
    return folded


def _units_that_do(row: Suffix) -> str:
    """Each unit once (by what it stands for), the one shown by default first."""
    once = {factor: spelling for spelling, factor in reversed(list(row.accepts.items())) if spelling}
    nice = [_printed(spelling) for spelling in reversed(list(once.values()))]
    # The default spelling often comes round again folded: leave out what it says already.
    others = [unit for unit in nice if _fold(unit) != _fold(row.shown)]
    some = ", ".join([row.shown, *others[:7]]) if nice else ""
    return f"a number with a unit of {row.measures}: {some}" if some else "a plain number"


def parse(text: str, suffix: str, *, field: str = "value") -> float:
    """The number a person wrote, in the unit of the suffix: `parse("77 F", "c")` gives 25.0.

    Comma and point both work as decimal mark; a bare number is refused unless the quantity is a pure
    number. Raises InputError naming the field, what was written and the units that would do.

    Examples
    --------
    >>> parse("4,5 dKH", "dkh")
    4.5
    >>> round(parse("30 psi", "barg"), 3)
    2.068
    """
    row = SUFFIXES[suffix]
    match = _NUMBER.match(text.replace("\u00a0", " "))
    if not match:
        raise InputError([Fault(field, text.strip(), f"needs {_units_that_do(row)}")])
    digits, unit = match.groups()
    number = float(re.sub(r"\s", "", digits).replace("−", "-").replace(",", "."))
    folded = _fold(unit)
    if folded == "" and not row.bare:
        raise InputError(
            [
                Fault(
                    field,
                    text.strip(),
                    f"needs {_units_that_do(row)}",
                    f'For example "{digits.strip()} {row.shown}"',
                )
            ]
        )
    if folded == "":
        return number
    if folded not in row.accepts:
        raise InputError(
            [
                Fault(
                    field,
                    text.strip(),
                    f"needs {_units_that_do(row)}",
                    f'"{unit}" is no unit of {row.measures}',
                )
            ]
        )
    scale, offset = row.accepts[folded]
    return scale * number + offset


def convert(value: float, suffix: str, unit: str) -> float:
    """A value in its suffix unit, expressed in another unit of the same table row.

    Examples
    --------
    >>> round(convert(25.0, "c", "°F"), 1)
    77.0
    """
    scale, offset = SUFFIXES[suffix].accepts[_fold(unit)]
    return (value - offset) / scale


def show(value: float, suffix: str, system: System = System.METRIC, *, digits: int | None = None) -> str:
    """A value as a reader sees it, number and unit with a no-break space between.

    `digits` is the count of significant figures (3 unless given); trailing zeros stay, so that the
    precision shown is the precision meant.

    Examples
    --------
    >>> show(25.0, "c", System.US)
    '77.0\\xa0°F'
    """
    unit = unit_text(suffix, system)
    number = number_text(convert(value, suffix, unit) if unit else value, 3 if digits is None else digits)
    if suffix == "ph" or not unit:
        return number
    return f"{number}\u00a0{unit}"


def number_text(value: float, digits: int = 3) -> str:
    """A number to so many significant figures, with a true minus and never in exponent form.

    Examples
    --------
    >>> number_text(1234.5), number_text(0.012345), number_text(18.64)
    ('1230', '0.0123', '18.6')
    """
    if value == 0:
        return "0"
    import math

    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    text = f"{rounded:.{max(places, 0)}f}"
    return text.replace("-", "−")
