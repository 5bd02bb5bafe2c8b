"""The sum `mix`: two waters poured together, or a water change, at once and hours after."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.carbonate import co2_at_alkalinity_mmol_l, co2_from_ph_mg_l, ph_from_co2
from fizzwright.engines.water.exchange import relaxing_mg_l
from fizzwright.engines.water.ionic import (
    cations_from_ec_meq_l,
    ionic_strength_best,
    ionic_strength_from_alk_mol_l,
    ionic_strength_from_cations_mol_l,
)
from fizzwright.engines.water.mixing import (
    MIXING_EQUATIONS,
    BulkWater,
    CarbonState,
    bulk_from_co2,
    carbon_state,
    poured_together,
)
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.result import Basis, Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_bands import estimate_of
from fizzwright.stages.bench.water_draws import Draws
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import DKH_MEQ_L, number_text, show

__all__ = ["MixAnswer", "MixQuestion", "mix"]

FRESH_CO2_MG_L = (0.6, 2.0, 8.0)


@dataclass(frozen=True)
class MixQuestion:
    """The water there is and the water that comes to it."""

    kh_dkh: float = asked("--kh", "KH of the tank", low=0.05, high=40.0)
    water_c: float = asked("--temp", "temperature of the tank", low=0.5, high=40.0)
    volume_l: float = asked("--volume", "water in the tank", low=0.1, high=50000.0)
    new_kh_dkh: float = asked("--new-kh", "KH of the new water, 0.1 for pure", low=0.02, high=40.0)
    new_volume_l: float = asked("--new-volume", "how much new water", low=0.01, high=50000.0)
    co2_mg_l: float | None = asked("--co2", "dissolved CO2 of the tank", low=0.1, high=300.0, default=None)
    ph: float | None = asked("--ph", "pH of the tank, instead of its CO2", low=4.0, high=10.0, default=None)
    new_co2_mg_l: float | None = asked(
        "--new-co2", "dissolved CO2 of the new water", low=0.05, high=300.0, default=None
    )
    new_ph: float | None = asked(
        "--new-ph", "pH of the new water, instead of its CO2", low=4.0, high=10.0, default=None
    )
    new_c: float | None = asked(
        "--new-temp", "temperature of the new water", low=0.5, high=40.0, default=None
    )
    ec_us_cm: float | None = asked("--ec", "conductivity of the tank", low=1.0, high=6000.0, default=None)
    new_ec_us_cm: float | None = asked(
        "--new-ec", "conductivity of the new water", low=1.0, high=6000.0, default=None
    )
    change: bool = asked("--change", "a water change: as much goes out before as comes in", default=False)
    loss_per_h: float | None = asked(
        "--loss", "loss rate of the surface, for the hours after", low=0.001, high=20.0, default=None
    )
    after_h: float = asked("--hours", "how long after", low=0.0, high=96.0, default=4.0)
    settles_co2_mg_l: float | None = asked(
        "--settles",
        "CO2 the tank goes back to; as before the change if not said",
        low=0.1,
        high=100.0,
        default=None,
    )
    kh_error_frac: float = asked(
        "--kh-error", "one standard deviation of both KH", low=0.0, high=0.5, default=0.05
    )
    error_ph: float = asked(
        "--ph-error", "one standard deviation of both pH", low=0.0, high=0.5, default=0.05
    )


@dataclass(frozen=True)
class MixAnswer:
    """The mixture; what averaging the two pH would have said; and some hours later, where asked."""

    kh_dkh: Estimate
    co2_mg_l: Estimate
    ph: Estimate
    water_c: Estimate
    before_co2_mg_l: Estimate
    before_ph: Estimate
    averaged_ph: Estimate
    later_co2_mg_l: Estimate | None
    later_ph: Estimate | None
    trail: Trail


@dataclass(frozen=True)
class _Side:
    """One water at its middle and in draws."""

    middle: BulkWater
    drawn: BulkWater
    state: CarbonState
    states: CarbonState


def mix(question: MixQuestion) -> MixAnswer:
    """Two waters poured together: KH, carbon and warmth add up, pH and CO2 follow from them.

    Raises InputError for inputs out of range, or where the tank's pH and CO2 are both missing or given.
    """
    check(question)
    notes = Notes()
    draws = Draws()
    tank, new = _tank(question, draws, notes), _new(question, draws, notes)
    share = _share(question)
    mixed, mixeds = (
        poured_together(one, other, second_frac=share)
        for one, other in ((tank.middle, new.middle), (tank.drawn, new.drawn))
    )
    state, states = carbon_state(mixed), carbon_state(mixeds)
    notes.ran(*MIXING_EQUATIONS)
    averaged = (1.0 - share) * float(tank.state.ph) + share * float(new.state.ph)
    later = _later(question, tank, (mixed, state), (mixeds, states), notes)
    _findings(question, (tank, new, share), state, averaged, notes)
    return MixAnswer(
        kh_dkh=estimate_of(mixed.alk_meq_l / DKH_MEQ_L, mixeds.alk_meq_l / DKH_MEQ_L, "dkh"),
        co2_mg_l=estimate_of(state.co2_mg_l, states.co2_mg_l, "mg_l"),
        ph=estimate_of(state.ph, states.ph, "ph"),
        water_c=Estimate.exact(float(mixed.water_c), "c", Basis.PROPAGATED),
        before_co2_mg_l=estimate_of(tank.state.co2_mg_l, tank.states.co2_mg_l, "mg_l"),
        before_ph=estimate_of(tank.state.ph, tank.states.ph, "ph"),
        averaged_ph=Estimate.exact(averaged, "ph", Basis.JUDGEMENT),
        later_co2_mg_l=None if later is None else later[0],
        later_ph=None if later is None else later[1],
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _share(question: MixQuestion) -> float:
    """Share of the new water in the whole."""
    if not question.change:
        return question.new_volume_l / (question.new_volume_l + question.volume_l)
    if question.new_volume_l > question.volume_l:
        raise InputError(
            [
                Fault(
                    "--new-volume",
                    show(question.new_volume_l, "l"),
                    f"a change cannot be more than the tank's {show(question.volume_l, 'l')}",
                )
            ]
        )
    return question.new_volume_l / question.volume_l


def _tank(question: MixQuestion, draws: Draws, notes: Notes) -> _Side:
    q = question
    if (q.co2_mg_l is None) == (q.ph is None):
        raise InputError(
            [Fault("--co2", "", "give the CO2 of the tank, or its pH", 'For example --co2 "20 mg/L"')]
        )
    return _side((q.kh_dkh, q.water_c, q.ec_us_cm), (q.co2_mg_l, q.ph), draws, notes, question=q)


def _new(question: MixQuestion, draws: Draws, notes: Notes) -> _Side:
    q = question
    if q.new_c is None:
        notes.took("The new water is as warm as the tank", show(q.water_c, "c"))
    if q.new_co2_mg_l is not None and q.new_ph is not None:
        raise InputError([Fault("--new-co2", "", "give the CO2 of the new water, or its pH")])
    warmth = q.water_c if q.new_c is None else q.new_c
    return _side((q.new_kh_dkh, warmth, q.new_ec_us_cm), (q.new_co2_mg_l, q.new_ph), draws, notes, question=q)


def _side(
    water: tuple[float, float, float | None],
    carbon: tuple[float | None, float | None],
    draws: Draws,
    notes: Notes,
    *,
    question: MixQuestion,
) -> _Side:
    kh, warmth, conductivity = water
    level, ph = carbon
    alk, alks = kh * DKH_MEQ_L, kh * DKH_MEQ_L * np.maximum(draws.normal(1.0, question.kh_error_frac), 0.05)
    salt = ionic_strength_best(alk, ec_us_cm=conductivity)
    if conductivity is None:
        notes.ran(ionic_strength_from_alk_mol_l)
    else:
        notes.ran(cations_from_ec_meq_l, ionic_strength_from_cations_mol_l)
    rest = {"water_c": warmth, "ionic_strength_mol_l": float(salt.ionic_strength_mol_l)}
    if ph is not None:
        notes.ran(co2_at_alkalinity_mmol_l)
        level = float(co2_from_ph_mg_l(ph, alk, **rest))
        levels = co2_from_ph_mg_l(draws.normal(ph, question.error_ph), alks, **rest)
    elif level is not None:
        levels = level * np.exp(draws.normal(0.0, 0.1))
        notes.took("Doubt of a CO2 that was given, one standard deviation", "10 %")
    else:
        low, level, high = FRESH_CO2_MG_L
        levels = draws.skewed(low, level, high)
        notes.took("CO2 of the new water, as tap and stored water have it", f"{low} to {high} mg/L (90 %)")
    level, levels = max(level, 0.02), np.maximum(levels, 0.02)
    middle, drawn = bulk_from_co2(level, alk, **rest), bulk_from_co2(levels, alks, **rest)
    return _Side(middle, drawn, carbon_state(middle), carbon_state(drawn))


def _later(
    question: MixQuestion,
    tank: _Side,
    middle: tuple[BulkWater, CarbonState],
    drawn: tuple[BulkWater, CarbonState],
    notes: Notes,
) -> tuple[Estimate, Estimate] | None:
    """CO2 and pH after some hours, on the way back to where feed and surface balance."""
    if question.loss_per_h is None:
        return None
    if question.settles_co2_mg_l is None:
        notes.took(
            "The gas feed stays, so CO2 goes back to what it was", show(float(tank.state.co2_mg_l), "mg_l")
        )
    notes.ran(relaxing_mg_l)
    found: list[Estimate] = []
    values = []
    for (bulk, state), before in ((middle, tank.state), (drawn, tank.states)):
        goal = before.co2_mg_l if question.settles_co2_mg_l is None else question.settles_co2_mg_l
        level = relaxing_mg_l(
            state.co2_mg_l, goal, loss_rate_per_h=question.loss_per_h, elapsed_h=question.after_h
        )
        ph = ph_from_co2(
            level, bulk.alk_meq_l, water_c=bulk.water_c, ionic_strength_mol_l=bulk.ionic_strength_mol_l
        )
        values.append((level, ph))
    (level, ph), (levels, phs) = values
    found.append(estimate_of(level, np.asarray(levels), "mg_l"))
    found.append(estimate_of(ph, np.asarray(phs), "ph"))
    return found[0], found[1]


def _findings(
    question: MixQuestion,
    sides: tuple[_Side, _Side, float],
    state: CarbonState,
    averaged_ph: float,
    notes: Notes,
) -> None:
    tank, new, share = sides
    ph, level = float(state.ph), float(state.co2_mg_l)
    if abs(averaged_ph - ph) > 0.05:
        notes.found(
            Level.NOTE,
            f"pH does not add up: the mean of the two would be {averaged_ph:.2f}, the mixture has {ph:.2f}. "
            "Alkalinity and total carbon add up, and pH follows from them.",
            "ph",
            "conservation-on-mixing",
        )
    before = float(tank.state.co2_mg_l)
    if question.change and level < 0.85 * before:
        notes.found(
            Level.NOTE,
            f"The change takes CO2 from {show(before, 'mg_l')} to {show(level, 'mg_l')} at once; the feed "
            "brings it back over the next hours. Do not turn the needle up for it.",
            "co2",
        )
    if level > 1.2 * before and level > 30.0:
        notes.found(
            Level.CARE,
            f"The new water brings CO2: {show(level, 'mg_l')} after it. Air it before it goes in.",
            "co2",
        )
    shift = ph - float(tank.state.ph)
    if abs(shift) > 0.3:
        notes.found(
            Level.CARE if abs(shift) > 0.6 else Level.NOTE,
            f"pH moves by {number_text(abs(shift), 2)} with the change. Pour slowly over half an hour; most "
            "of such a move is CO2 and comes back, what stays is the change of KH.",
            "ph",
        )
    kh_now = (1.0 - share) * question.kh_dkh + share * question.new_kh_dkh
    if abs(kh_now / question.kh_dkh - 1.0) > 0.15:
        notes.found(
            Level.NOTE,
            f"A pH controller's set point now stands for {number_text(kh_now / question.kh_dkh, 2)} times "
            "the CO2 it did. Read KH and set it anew.",
            "kh",
        )
    if question.new_c is not None and abs(question.new_c - question.water_c) > 4.0:
        notes.found(
            Level.CARE,
            f"The new water is {number_text(abs(question.new_c - question.water_c), 2)} °C away from the "
            "tank. Bring it nearer, and pour slowly.",
            "temp",
        )
    if float(new.state.ph) > 8.6:
        notes.found(
            Level.NOTE,
            "New water over pH 8.6 has hardly any free CO2 and takes some up from the tank's.",
            "new-ph",
        )
