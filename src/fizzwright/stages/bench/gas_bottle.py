"""`bench bottle`: what is left in a bottle, from its gauge or from a scale."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fizzwright.catalogue.bottles import ASSUMED_FILL_LASTING_KG_L, ASSUMED_FILL_RELEASE_KG_L
from fizzwright.engines.gasline.bottle import (
    CRITICAL_C,
    knee_barg,
    knee_g,
    saturation_bara,
    vapour_density_kg_m3,
    vapour_only_density_kg_m3,
    virial_pressure_bara,
)
from fizzwright.engines.gasline.contents import GaugeShows, contents_from_gauge, usable_g
from fizzwright.engines.gasline.hot import dense_density_kg_m3
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, Trail, make_trail
from fizzwright.stages.bench.gas_bands import assumed
from fizzwright.units import number_text, show

__all__ = ["BottleAnswer", "BottleQuestion", "bottle"]

_WARM_C, _HOT_C = 40.0, 50.0

BOTTLE_WARNING = (
    "Stand it upright and strap it; never warm it. The stamp, your filler and local law decide: bottles are "
    "filled, tested and converted by licensed people only, and the relief device is never touched."
)


@dataclass(frozen=True, kw_only=True)
class BottleQuestion:
    """A bottle and what its gauge or a scale says."""

    charge_g: float | None = asked("--charge", "charge of a full bottle", low=5.0, high=60000.0, default=None)
    capacity_l: float | None = asked(
        "--capacity", "water capacity stamped", low=0.005, high=100.0, default=None
    )
    gauge_barg: float | None = asked(
        "--gauge", "high-pressure gauge at rest", low=0.0, high=300.0, default=None
    )
    temperature_c: float = asked("--temp", "temperature of the bottle", low=-20.0, high=70.0, default=20.0)
    gross_g: float | None = asked("--gross", "weight on the scale", low=10.0, high=250000.0, default=None)
    tare_g: float | None = asked(
        "--tare", "empty weight with what else hangs on it", low=5.0, high=200000.0, default=None
    )
    gauge_full_scale_barg: float = asked(
        "--gauge-full-scale", "end of the gauge's scale", low=60.0, high=400.0, default=250.0
    )
    gauge_class_frac: float = asked(
        "--gauge-class", "error as a share of full scale", low=0.001, high=0.1, default=0.025
    )
    temperature_error_c: float = asked(
        "--temp-error", "90 % error of the temperature", low=0.1, high=10.0, default=2.0
    )
    scale_error_g: float = asked(
        "--scale-error", "90 % error of the scale", low=0.01, high=2000.0, default=8.0
    )
    tare_error_g: float = asked("--tare-error", "90 % error of the tare", low=0.0, high=5000.0, default=20.0)


@dataclass(frozen=True)
class BottleAnswer:
    """What is left; `None` where it cannot be told.

    With liquid left and only a gauge, the limits of `remaining_g` are the whole range the gauge cannot tell
    apart. `knee_barg` is the gauge reading below which the liquid is gone.
    """

    remaining_g: Estimate | None
    remaining_frac: Estimate | None
    usable_g: Estimate | None
    liquid_present: bool | None
    knee_barg: Estimate | None
    knee_g: Estimate | None
    read_from: str
    trail: Trail


@dataclass(frozen=True)
class _Found:
    """What one way of reading the bottle found, and the equations it ran."""

    remaining_g: Estimate | None
    liquid: bool | None
    shows: GaugeShows | None
    ran: tuple[Callable[..., Any], ...]


def bottle(question: BottleQuestion) -> BottleAnswer:
    """The gas left in a bottle, by weight where there is one, else as far as the gauge can tell.

    While liquid is left the gauge shows the bottle's temperature and not its contents.

    Parameters
    ----------
    question : BottleQuestion
        Gauge and temperature, or gross and tare.

    Returns
    -------
    BottleAnswer
        Mass and share left, whether liquid is left, and where the knee lies.
    """
    check(question)
    _complete(question)
    weighed = question.gross_g is not None
    found = _by_weight(question) if weighed else _by_gauge(question)
    knee_pressure, knee_mass = _knee(question)
    ran: set[Callable[..., Any]] = set(found.ran)
    if knee_pressure is not None:
        ran.add(saturation_bara)
    if knee_mass is not None:
        ran.add(vapour_density_kg_m3)
    usable = _usable(question, found.remaining_g)
    if usable is not None:
        ran |= {vapour_only_density_kg_m3, virial_pressure_bara, vapour_density_kg_m3}
    return BottleAnswer(
        remaining_g=found.remaining_g,
        remaining_frac=_share(question, found.remaining_g),
        usable_g=usable,
        liquid_present=found.liquid,
        knee_barg=knee_pressure,
        knee_g=knee_mass,
        read_from="scale" if weighed else "gauge",
        trail=make_trail(
            ran,
            inputs=dataclasses.asdict(question),
            assumptions=_assumptions(question, weighed),
            findings=_findings(question, found, knee_mass),
        ),
    )


def _complete(question: BottleQuestion) -> None:
    """Refuse a question that has neither a gauge nor a weight; every fault at once."""
    faults = []
    if question.gauge_barg is None and question.gross_g is None:
        faults.append(Fault("--gauge", "", "give --gauge, or --gross and --tare"))
    if question.gross_g is not None and question.tare_g is None:
        faults.append(Fault("--tare", "", "needed with --gross", "It is stamped on the bottle's shoulder"))
    if question.tare_g is not None and question.gross_g is None and question.gauge_barg is None:
        faults.append(Fault("--gross", "", "needed with --tare"))
    if question.gross_g is not None and question.tare_g is not None:
        slack = question.scale_error_g + question.tare_error_g
        if question.gross_g < question.tare_g - slack:
            faults.append(
                Fault(
                    "--gross", show(question.gross_g, "g"), f"at least the tare, {show(question.tare_g, 'g')}"
                )
            )
    if faults:
        raise InputError(faults)


def _capacities_l(question: BottleQuestion) -> tuple[float, float] | None:
    """Likely and least inner volume; the least matters where only the charge is known."""
    if question.capacity_l is not None:
        return question.capacity_l, question.capacity_l
    if question.charge_g is not None:
        kilos = question.charge_g / 1000.0
        return kilos / ASSUMED_FILL_LASTING_KG_L, kilos / ASSUMED_FILL_RELEASE_KG_L
    return None


def _by_weight(question: BottleQuestion) -> _Found:
    """Gross less tare, and whether that is more than vapour alone can be."""
    assert question.gross_g is not None
    assert question.tare_g is not None
    left = max(question.gross_g - question.tare_g, 0.0)
    error = math.hypot(question.scale_error_g, question.tare_error_g)
    remaining = Estimate(left, "g", max(left - error, 0.0), left + error, Basis.MEASURED)
    capacities = _capacities_l(question)
    if capacities is None or question.temperature_c >= CRITICAL_C:
        return _Found(remaining, None, None, ())
    most_g = float(knee_g(question.temperature_c, water_capacity_l=capacities[0]))
    least_g = float(knee_g(question.temperature_c, water_capacity_l=capacities[1]))
    liquid = True if remaining.low > most_g else False if remaining.high < least_g else None
    return _Found(remaining, liquid, None, (vapour_density_kg_m3,))


def _by_gauge(question: BottleQuestion) -> _Found:
    """As far as the gauge can tell; without charge and capacity only whether liquid is left."""
    assert question.gauge_barg is not None
    capacities = _capacities_l(question)
    likely_l, least_l = capacities if capacities is not None else (1.0, 1.0)
    charge_g = (
        question.charge_g if question.charge_g is not None else 1000.0 * likely_l * ASSUMED_FILL_RELEASE_KG_L
    )
    error_barg = question.gauge_full_scale_barg * question.gauge_class_frac
    found = contents_from_gauge(
        question.gauge_barg,
        question.temperature_c,
        charge_g=charge_g,
        water_capacity_l=likely_l,
        error_barg=error_barg,
    )
    ran: tuple[Callable[..., Any], ...] = (saturation_bara,)
    if found.shows is GaugeShows.ONE_PHASE:
        ran = (saturation_bara, dense_density_kg_m3)
    else:
        ran = (saturation_bara, vapour_density_kg_m3, vapour_only_density_kg_m3, virial_pressure_bara)
    remaining = None
    if capacities is not None:
        low_g = found.low_g * least_l / likely_l
        basis = Basis.JUDGEMENT if found.shows is GaugeShows.LIQUID else Basis.PROPAGATED
        remaining = Estimate(found.mid_g, "g", min(low_g, found.mid_g), found.high_g, basis)
    liquid = found.shows is GaugeShows.LIQUID
    if found.shows is GaugeShows.ONE_PHASE:
        liquid = question.temperature_c < CRITICAL_C
    return _Found(remaining, liquid, found.shows, ran)


def _knee(question: BottleQuestion) -> tuple[Estimate | None, Estimate | None]:
    """Gauge and mass at the knee; none where the bottle is too warm for liquid."""
    cool, warm = (
        question.temperature_c - question.temperature_error_c,
        min(question.temperature_c + question.temperature_error_c, CRITICAL_C),
    )
    if question.temperature_c >= CRITICAL_C:
        return None, None
    low, middle, high = (float(knee_barg(c)) for c in (cool, question.temperature_c, warm))
    pressure = Estimate(middle, "barg", low, high)
    capacities = _capacities_l(question)
    if capacities is None:
        return pressure, None
    likely_l, least_l = capacities
    mass = Estimate(
        float(knee_g(question.temperature_c, water_capacity_l=likely_l)),
        "g",
        float(knee_g(cool, water_capacity_l=least_l)),
        float(knee_g(warm, water_capacity_l=likely_l)),
    )
    return pressure, mass


def _usable(question: BottleQuestion, remaining: Estimate | None) -> Estimate | None:
    capacities = _capacities_l(question)
    if remaining is None or capacities is None:
        return None
    low, middle, high = (
        float(usable_g(mass, question.temperature_c, water_capacity_l=capacities[0]))
        for mass in (remaining.low, remaining.value, remaining.high)
    )
    return Estimate(middle, "g", low, high, remaining.basis)


def _share(question: BottleQuestion, remaining: Estimate | None) -> Estimate | None:
    charge_g = question.charge_g
    if remaining is None or charge_g is None:
        return None
    return Estimate(
        remaining.value / charge_g,
        "frac",
        remaining.low / charge_g,
        remaining.high / charge_g,
        remaining.basis,
    )


def _findings(question: BottleQuestion, found: _Found, knee: Estimate | None) -> list[Finding]:
    said = [*_gauge_findings(question, found), *_fill_findings(question, found), *_heat_findings(question)]
    if found.liquid is False and knee is not None and question.charge_g is not None:
        text = (
            "The liquid is gone and the gauge now falls with the contents. From here the outlet of a "
            "one-stage regulator creeps up and the feed with it: read the rate again every few days and "
            "plan the refill."
        )
        said.append(Finding(Level.CARE, text, "regulator", "regulator-force-balance"))
    said.append(Finding(Level.NOTE, BOTTLE_WARNING, "bottle"))
    return said


def _gauge_findings(question: BottleQuestion, found: _Found) -> list[Finding]:
    if found.shows is GaugeShows.LIQUID:
        between = ""
        if found.remaining_g is not None:
            between = f", between {show(found.remaining_g.low, 'g')} and {show(found.remaining_g.high, 'g')}"
        text = (
            f"Liquid is present and the mass is unknown{between}: until the liquid is gone the gauge shows "
            "the bottle's temperature and nothing else. Weigh it to know."
        )
        return [Finding(Level.CARE, text, "gauge", "span-wagner-1996")]
    if found.shows is GaugeShows.ONE_PHASE and question.temperature_c < CRITICAL_C:
        text = (
            "The gauge stands over the pressure liquid and vapour have together: the liquid fills the "
            "bottle. The first few per cent drawn bring it down to the plateau; that is no leak. Keep it "
            "cool."
        )
        return [Finding(Level.CARE, text, "gauge", "gasline-isochore")]
    if question.temperature_c >= CRITICAL_C:
        text = (
            "Over 31 °C there is no liquid and no knee. Let the bottle cool in the shade, away from people, "
            "and read it again."
        )
        return [Finding(Level.CARE, text, "temperature", "span-wagner-1996")]
    return []


def _fill_findings(question: BottleQuestion, found: _Found) -> list[Finding]:
    """Contents against inner volume: more than any rule allows is a hazard whatever the gauge says."""
    if question.capacity_l is None:
        return []
    masses = [question.charge_g or 0.0, found.remaining_g.low if found.remaining_g is not None else 0.0]
    fill_kg_l = max(masses) / 1000.0 / question.capacity_l
    if fill_kg_l <= ASSUMED_FILL_RELEASE_KG_L + 0.005:
        return []
    text = (
        f"{number_text(fill_kg_l, 2)} kg to the litre is more than any fill limit found (0.76). Check charge "
        "and capacity on the stamp. If they are right the bottle is overfilled and its relief disc may let "
        "go in a warm room: keep it cool, leave it shut, and call a licensed filler."
    )
    return [Finding(Level.STOP, text, "charge", "adr-p200")]


def _heat_findings(question: BottleQuestion) -> list[Finding]:
    if question.temperature_c < _WARM_C:
        return []
    text = (
        "A full bottle this warm is full of one phase, and its pressure climbs 3 to 5 bar for each degree; "
        "a relief disc of 190 bar lets a 0.75 kg/L filling go between about 49 and 54 °C, all of it into "
        "the room. Leave the room if it hisses; cool the place, not the bottle by hand; no flame, no sun, "
        "no car."
    )
    level = Level.STOP if question.temperature_c >= _HOT_C else Level.CARE
    return [Finding(level, text, "temperature", "gasline-isochore")]


def _assumptions(question: BottleQuestion, weighed: bool) -> list[Assumption]:
    told = []
    if question.capacity_l is None and question.charge_g is not None:
        told.append(
            Assumption(
                "water capacity from the charge", "0.68 kg to the litre, at most 0.76", source="adr-p200"
            )
        )
    if question.charge_g is None and question.capacity_l is not None and not weighed:
        told.append(Assumption("most gas the bottle can hold", "0.76 kg to the litre", source="adr-p200"))
    texts = {
        "temperature_c": ("temperature of the bottle", show(question.temperature_c, "c")),
        "temperature_error_c": ("90 % error of the temperature", f"{question.temperature_error_c:g} K"),
    }
    if weighed:
        texts["scale_error_g"] = ("90 % error of the scale", show(question.scale_error_g, "g"))
        texts["tare_error_g"] = ("90 % error of the tare", show(question.tare_error_g, "g"))
    else:
        texts["gauge_full_scale_barg"] = (
            "end of the gauge's scale",
            show(question.gauge_full_scale_barg, "barg"),
        )
        texts["gauge_class_frac"] = (
            "error of the gauge, of full scale",
            show(question.gauge_class_frac, "frac"),
        )
    return told + assumed(question, texts)
