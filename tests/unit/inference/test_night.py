"""The night fit: planned nights with known answers, spoiled readings, and nights that tell nothing."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.errors import InputError
from fizzwright.inference.night import NightWater, fit_night
from fizzwright.inference.night_grid import NightPrior, NightProbe, night_curve_mg_l

WATER = NightWater(alk_meq_l=1.4266, water_c=25.0, ionic_strength_mol_l=0.005, scale_log_sd_number=0.1)
PRIOR = NightPrior(
    loss_per_h=0.15,
    loss_log_sd_number=0.5,
    breathing_mg_l_h=0.2,
    breathing_log_sd_number=0.6,
    air_co2_mg_l=0.8,
    air_log_sd_number=0.3,
)
HOURS = np.arange(0.0, 9.01, 1 / 6)


def _night_ph(loss_per_h: float, breathing_mg_l_h: float = 0.2, start_mg_l: float = 30.0) -> np.ndarray:
    """pH of a KH 4 water while CO2 settles: bicarbonate alone, pH = 8.131 - log10(CO2)."""
    settles = 0.8 + breathing_mg_l_h / loss_per_h
    return 8.131 - np.log10(settles + (start_mg_l - settles) * np.exp(-loss_per_h * HOURS))


@pytest.mark.parametrize("loss_per_h", [0.1, 0.2, 0.35])
def test_a_clean_night_gives_the_loss_back(loss_per_h: float) -> None:
    fit = fit_night(HOURS, _night_ph(loss_per_h), water=WATER, prior=PRIOR)
    assert fit.usable
    assert fit.loss_per_h.low <= loss_per_h <= fit.loss_per_h.high
    assert fit.loss_per_h.value == pytest.approx(loss_per_h, rel=0.05)
    assert fit.settles_mg_l.low <= 0.8 + 0.2 / loss_per_h <= fit.settles_mg_l.high
    assert fit.start_mg_l == pytest.approx(30.0, rel=0.05)
    assert fit.set_aside_count == 0
    assert fit.readings_count == len(HOURS)


def test_spoiled_readings_are_set_aside_and_change_little() -> None:
    clean = _night_ph(0.2) + np.random.default_rng(1).normal(0.0, 0.008, len(HOURS))
    spoiled = clean.copy()
    spoiled[[7, 20, 33]] = [14.0, 4.2, 7.9]
    spoiled[41] += 0.09
    before = fit_night(HOURS, clean, water=WATER, prior=PRIOR)
    after = fit_night(HOURS, spoiled, water=WATER, prior=PRIOR)
    assert after.set_aside_count == 3  # 14.0 is no reading at all and is dropped before the count
    assert after.loss_per_h.value == pytest.approx(before.loss_per_h.value, rel=0.03)


def test_order_of_readings_does_not_matter() -> None:
    ph = _night_ph(0.2)
    mixed = np.random.default_rng(3).permutation(len(HOURS))
    one = fit_night(HOURS, ph, water=WATER, prior=PRIOR)
    other = fit_night(HOURS[mixed], ph[mixed], water=WATER, prior=PRIOR)
    assert one == other


def test_flat_night_says_nothing() -> None:
    fit = fit_night(HOURS, np.full(len(HOURS), 7.6), water=WATER, prior=PRIOR)
    assert not fit.usable
    assert "pH rose by only 0.00" in fit.verdict


def test_short_night_is_called_short() -> None:
    few = HOURS <= 1.0
    fit = fit_night(HOURS[few], _night_ph(0.35)[few], water=WATER, prior=PRIOR)
    assert not fit.usable
    assert "too short" in fit.verdict


def test_four_hours_of_a_slow_tank_are_called_short() -> None:
    """Loss 0.1 /h: the half-life is 6.9 h, four hours are 0.58 of it."""
    few = HOURS <= 4.0
    fit = fit_night(HOURS[few], _night_ph(0.1)[few], water=WATER, prior=PRIOR)
    assert not fit.usable
    assert "too short" in fit.verdict
    assert fit.half_lives_number == pytest.approx(0.58, rel=0.15)


def test_a_second_night_that_adds_little_says_so() -> None:
    known = NightPrior(0.1, 0.04, 0.2, 0.6, 0.8, 0.3)
    fit = fit_night(HOURS, _night_ph(0.1), water=WATER, prior=known)
    assert not fit.usable
    assert "adds little" in fit.verdict
    assert fit.loss_per_h.value == pytest.approx(0.1, rel=0.03)


def test_slow_surface_cannot_be_told_from_resting_level() -> None:
    """Loss 0.05 /h, drift of 0.03 pH in 8 h and little known of the breathing: the band stays wide."""
    vague = NightPrior(0.05, 0.5, 0.2, 1.2, 0.8, 0.5)
    fit = fit_night(
        HOURS, _night_ph(0.05), water=WATER, prior=vague, probe=NightProbe(noise_ph=0.02, drift_8h_ph=0.05)
    )
    assert not fit.usable
    assert "cannot be told apart" in fit.verdict
    assert fit.half_lives_number < 1.5


def test_far_answer_asks_whether_the_gas_was_off() -> None:
    calm = NightPrior(0.03, 0.3, 0.2, 0.6, 0.8, 0.3)
    fit = fit_night(HOURS, _night_ph(0.3), water=WATER, prior=calm)
    assert fit.usable
    assert "check that gas and lamp were off" in fit.verdict


def test_hard_water_is_corrected_for_carbonate() -> None:
    """KH 14 near rest: carbonate holds back a third of the loss of free CO2; K comes back all the same.

    The readings are made by stepping total carbon; with x = HCO3, y = CO3, x + 2y = A and x^2 = R C y.
    """
    alk, ratio, loss = 14 * 0.35665, 10 ** (10.329 - 6.352 - 0.10), 0.25
    free, hour_step = [9.0 / 44.0095], 1 / 600

    def carbonate(co2: float) -> float:
        q = ratio * co2
        return (4 * alk + q - np.sqrt((4 * alk + q) ** 2 - 16 * alk**2)) / 8

    for _ in range(6000):
        c = free[-1]
        slope = 1 - (carbonate(1.001 * c) - carbonate(0.999 * c)) / (0.002 * c)
        free.append(c - hour_step * loss * (c - 0.8 / 44.0095) / slope)
    co2 = np.array(free)[::100]
    ph = 6.352 - 0.035 + np.log10((alk - 2 * carbonate(co2)) / co2)
    water = NightWater(alk, 25.0, 0.006, 0.1)
    prior = NightPrior(0.2, 0.5, 0.02, 0.6, 0.8, 0.2)
    fit = fit_night(np.arange(len(co2)) / 6, ph, water=water, prior=prior)
    assert fit.loss_per_h.value == pytest.approx(loss, rel=0.06)


def test_too_few_readings_or_unpaired_ones_are_refused() -> None:
    with pytest.raises(InputError, match="at least 6"):
        fit_night([0, 1, 2, 3], [6.6, 6.7, 6.8, 6.9], water=WATER, prior=PRIOR)
    with pytest.raises(InputError, match="one pH for each time"):
        fit_night([0, 1, 2], [6.6, 6.7], water=WATER, prior=PRIOR)


def test_curve_with_sinking_rest_obeys_its_own_balance() -> None:
    """dC/dt = -K (C - S) with S = 4 - 0.2 t, checked by a central difference."""
    t, h = np.linspace(0.5, 10, 30), 1e-4
    at = {"loss_per_h": 0.2, "settles_mg_l": 4.0, "settles_falls_mg_l_h": 0.2}
    slope = (night_curve_mg_l(t + h, 25.0, **at) - night_curve_mg_l(t - h, 25.0, **at)) / (2 * h)
    np.testing.assert_allclose(slope, -0.2 * (night_curve_mg_l(t, 25.0, **at) - (4 - 0.2 * t)), atol=1e-6)
    assert float(night_curve_mg_l(0.0, 25.0, **at)) == pytest.approx(25.0)


@pytest.mark.parametrize(("loss_per_h", "sd_frac"), [(0.2, 0.045), (0.1, 0.13), (0.05, 0.50)])
def test_what_a_night_can_tell_at_best(loss_per_h: float, sd_frac: float) -> None:
    """Linear theory on this curve, resting level free, agrees with an independent implementation.

    Ten-minute readings over 8 h from 30 mg/L, noise 0.01, drift 0.01 in 8 h: sd 4.5 %, 13 %, 50 % of K at
    0.2, 0.1, 0.05 /h (derived). A quarter either way, since that work's drift model is not known.
    """
    t = np.arange(0.0, 8.01, 1 / 6)
    best = np.array([0.0, loss_per_h, 0.6])

    def reading(p: np.ndarray) -> np.ndarray:
        return p[0] - np.log10(night_curve_mg_l(t, 30.0, loss_per_h=p[1], settles_mg_l=p[2]))

    slopes = np.stack([(reading(best + e) - reading(best - e)) / 2e-5 for e in 1e-5 * np.eye(3)], axis=1)
    errors = 0.01**2 * np.eye(len(t)) + np.outer(t, t) * (0.01 / 8) ** 2
    cover = np.linalg.inv(slopes.T @ np.linalg.solve(errors, slopes))
    assert np.sqrt(cover[1, 1]) / loss_per_h == pytest.approx(sd_frac, rel=0.25)
