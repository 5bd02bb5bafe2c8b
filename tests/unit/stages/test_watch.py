"""A watch finds what was put into a log, leaves a quiet one alone, and counts the bottle's days."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.errors import InputError
from fizzwright.result import Estimate
from fizzwright.stages.dial_past import Told
from fizzwright.stages.watch import watch
from fizzwright.stages.watch_bottle import Counted, bottle_outlook
from fizzwright.stages.watch_probe import probe_faults
from tests.calibration.watched_tanks import month
from tests.unit.stages.test_dial import JOB


def test_a_stuck_and_a_dry_probe():
    hours = np.arange(0.0, 48.0, 0.25)
    model = 7.0 + 0.3 * np.sin(2 * np.pi * hours / 24)
    stuck = np.where((hours > 10) & (hours < 20), 7.1, model)
    assert [fault.kind for fault in probe_faults(hours, stuck, model_ph=model)] == ["stuck"]
    dry = np.where((hours > 30) & (hours < 34), model + 1.2, model)
    found = probe_faults(hours, dry, model_ph=model)
    assert [fault.kind for fault in found] == ["dry"]
    assert found[0].start_h == pytest.approx(30.25)
    assert probe_faults(hours, model, model_ph=model) == ()


def log(hours, **columns):
    return Told(
        np.asarray(hours, float), {k: np.asarray(v, float) for k, v in columns.items()}, (), 0.0, "2025-03-03"
    )


def test_the_bottle_is_counted_down():
    # 10 g a day from 1600 g: 1540 g usable over 3 % of 2000 g kept back, so 154 days after the last weighing.
    hours = np.arange(0, 29) * 24.0
    told = log(hours, bottle_gross_g=5000.0 - 10.0 * hours / 24)
    found = bottle_outlook(JOB, told, Counted(Estimate(10.0, "g_day", 8.0, 12.0)))
    assert found.use_g_day.value == pytest.approx(10.0, rel=0.01)
    assert found.left_g.value == pytest.approx(1600 - 280)
    assert found.empty_on == "2025-08-04"  # 28 days + (1320 - 60)/10 = 126 days after 3 March
    assert found.leak_g_day.low <= 0 <= found.leak_g_day.high


def test_a_leak_shows_over_the_count():
    hours = np.arange(0, 29) * 24.0
    told = log(hours, bottle_gross_g=5000.0 - 16.0 * hours / 24)
    found = bottle_outlook(JOB, told, Counted(Estimate(10.0, "g_day", 9.0, 11.0)))
    assert found.leak_g_day.value == pytest.approx(6.0, rel=0.02)
    assert found.leak_g_day.low > 0
    assert found.detectable_leak_g_day < 3.0
    assert "soap" in found.says


def test_a_swap_starts_the_count_anew():
    hours = np.arange(0, 20) * 24.0
    mass = np.where(hours < 240, 3500.0 - 10 * hours / 24, 5200.0 - 10 * (hours - 240) / 24)
    found = bottle_outlook(
        JOB, log(hours, bottle_gross_g=mass), Counted(Estimate(10.0, "g_day", 8, 12)), tare_g=3200
    )
    assert found.weighings_count == 10
    assert found.left_g.value == pytest.approx(5200 - 90 - 3200)


def test_too_short_a_log_is_refused():
    with pytest.raises(InputError):
        watch(JOB, log(np.arange(0, 40.0), ph=np.full(40, 7.0)))


def test_a_calmer_surface_is_found_and_dated():
    a, told = month(5, "surface", -0.25)
    found = watch(a.job, told)
    assert found.watchings[0].key == "surface"
    assert found.watchings[0].since in {"2025-03-16", "2025-03-17", "2025-03-18"}
    assert found.months[0].days_count > 20
