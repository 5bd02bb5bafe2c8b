"""Options from a question, and a question from what was typed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import pytest

from fizzwright.cli.questions import options_of, question_from, slots_of
from fizzwright.errors import InputError
from fizzwright.form import asked


class Fluid(StrEnum):
    """Two words."""

    WATER = "water"
    HALF = "half glycerol"


@dataclass(frozen=True)
class Question:
    """One field of each kind."""

    water_c: float = asked("--temp", "water temperature", low=0.0, high=40.0)
    kh_dkh: float = asked("--kh", "carbonate hardness", low=0.0, high=30.0)
    ph: float = asked("--ph", "pH as read", low=4.0, high=10.0, default=7.0)
    tip_mm: float | None = asked("--tip", "rim of the tip", low=0.3, high=8.0, default=None)
    fluid: Fluid = asked("--fluid", "what fills the counter", default=Fluid.WATER)
    bubbles_count: int = asked("--bubbles", "how many", low=1, high=100, default=10)
    closed: bool = asked("--closed", "under a hood", default=False)
    error_c: float = asked("--temp-error", "error of the temperature", low=0.0, high=5.0, default=0.5)


def test_units_commas_words_and_defaults():
    made = question_from(
        Question, {"water_c": "77 F", "kh_dkh": "4,5dKH", "fluid": "Half Glycerol", "closed": True}
    )
    # (77 - 32) * 5 / 9 = 25
    assert made.water_c == pytest.approx(25.0)
    assert (made.kh_dkh, made.ph, made.tip_mm, made.bubbles_count) == (4.5, 7.0, None, 10)
    assert made.fluid is Fluid.HALF
    assert made.closed is True


@pytest.mark.parametrize(("typed", "kelvin"), [("1 F", 5 / 9), ("0,5 C", 0.5), ("0.5 K", 0.5)])
def test_an_error_is_a_difference(typed, kelvin):
    """One degree Fahrenheit of error is 5/9 of a kelvin, not minus seventeen degrees Celsius."""
    made = question_from(Question, {"water_c": "25 C", "kh_dkh": "4 dKH", "error_c": typed})
    assert made.error_c == pytest.approx(kelvin)


def test_every_fault_is_listed_at_once():
    typed = {"water_c": "77", "ph": "12", "tip_mm": "2 kg", "fluid": "beer", "bubbles_count": "many"}
    with pytest.raises(InputError) as refused:
        question_from(Question, typed)
    fields = [fault.field for fault in refused.value.faults]
    assert sorted(fields) == ["--bubbles", "--fluid", "--kh", "--ph", "--temp", "--tip"]


def test_a_bare_number_is_refused_with_the_units_that_would_do():
    with pytest.raises(InputError, match="°C") as refused:
        question_from(Question, {"water_c": "25", "kh_dkh": "4 dKH"})
    assert "--temp = 25" in str(refused.value)


def test_a_missing_answer_says_how_to_give_it():
    with pytest.raises(InputError) as refused:
        question_from(Question, {"water_c": "25 C"})
    assert str(refused.value) == '--kh: is needed: carbonate hardness. For example --kh "15 dKH"'


def test_nothing_is_required_by_click_itself():
    """Click stops at the first missing option; ours are all reported together."""
    options = options_of(slots_of(Question))
    assert [option.required for option in options] == [False] * 8


def test_help_tells_unit_range_words_and_default():
    lines = {option.name: option.help for option in options_of(slots_of(Question))}
    assert lines["water_c"] == "water temperature [required; 0 to 40 °C]"
    assert lines["fluid"] == "what fills the counter [water, half glycerol; default water]"
    assert "default 7]" in lines["ph"]


def test_a_float_without_a_unit_in_its_name_is_our_own_mistake():
    @dataclass(frozen=True)
    class Nameless:
        depth: float = asked("--depth", "how deep")

    Nameless.__annotations__["depth"] = float
    with pytest.raises(TypeError, match="no unit"):
        slots_of(Nameless)
