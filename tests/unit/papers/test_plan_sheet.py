"""The typeset plan: tagged, repeatable, its own type only, and words that stay words."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from fizzwright.papers import sheet_words as say
from fizzwright.papers.plan_sheet import plan_sheet
from fizzwright.papers.typeface import font_folder
from fizzwright.result import Finding, Level
from fizzwright.units import System
from tests.unit.papers.pages import ask
from tests.unit.papers.papers_extremes import LONG, extreme_plans
from tests.unit.papers.papers_plans import band, changed, made_up_plan

DAY = date(2026, 11, 24)
PLANS = extreme_plans()
NB = "\u00a0"
Reader = Callable[..., str]


def page_count(pdf: bytes) -> int:
    return len(re.findall(rb"/Type ?/Page\b", pdf))


def flat(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00ad", ""))


@pytest.fixture(scope="module")
def sheet() -> bytes:
    return plan_sheet(made_up_plan(), today=DAY)


@pytest.mark.parametrize("odd", PLANS)
@pytest.mark.parametrize("system", list(System))
def test_every_plan_can_be_set_accessibly(odd: str, system: System) -> None:
    """The typesetter refuses PDF/UA-1 where a picture has no words or a letter no glyph."""
    pdf = plan_sheet(PLANS[odd], system=system, today=DAY)
    assert pdf.startswith(b"%PDF-")
    assert b"pdfuaid" in pdf
    assert b"/MarkInfo" in pdf
    assert 2 <= page_count(pdf) <= (6 if odd in ("long words", "hostile words") else 5)


def test_the_same_plan_and_day_give_the_same_bytes(sheet: bytes) -> None:
    assert plan_sheet(made_up_plan(), today=DAY) == sheet
    assert plan_sheet(made_up_plan(), today=date(2026, 11, 25)) != sheet


def test_another_process_gives_the_same_bytes_too(sheet: bytes, tmp_path: Path) -> None:
    code = (
        "import sys, datetime; from fizzwright.papers.plan_sheet import plan_sheet;"
        "from tests.unit.papers.papers_plans import made_up_plan;"
        "open(sys.argv[1], 'wb').write(plan_sheet(made_up_plan(), today=datetime.date(2026, 11, 24)))"
    )
    root = Path(__file__).parents[3]
    subprocess.run([sys.executable, "-c", code, str(tmp_path / "other.pdf")], check=True, cwd=root)
    assert (tmp_path / "other.pdf").read_bytes() == sheet


def test_the_typesetter_loads_only_when_a_sheet_is_asked_for() -> None:
    code = "import sys, fizzwright.papers; sys.exit('typst' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_templates_fetch_nothing_and_run_nothing_they_are_told() -> None:
    templates = list(font_folder().parent.glob("*.typ"))
    assert len(templates) >= 2
    for path in templates:
        text = path.read_text(encoding="utf-8")
        assert "@preview" not in text
        assert "@local" not in text
        assert "eval(" not in text
        assert not re.search(r"https?:", text)


def test_the_fonts_are_ours_and_embedded(sheet: bytes, tmp_path: Path) -> None:
    rows = ask("pdffonts", sheet, tmp_path).splitlines()[2:]
    names = {row.split()[0].split("+")[-1].removesuffix("-Identity-H") for row in rows}
    assert names <= {"B612", "B612-Bold", "B612-Italic", "B612-Regular", "DejaVuSans"}
    assert all(re.search(r"\byes yes\b", row) for row in rows)


def test_the_page_is_a4_tagged_and_dated(sheet: bytes, tmp_path: Path) -> None:
    told = ask("pdfinfo", sheet, tmp_path)
    assert re.search(r"Tagged:\s+yes", told)
    assert re.search(r"\(A4\)", told)
    assert re.search(r"Title:\s+Plan for library foyer 120", told)
    assert re.search(r"CreationDate:.*2026", told)
    assert re.search(r"JavaScript:\s+no", told)


def test_the_sheet_says_what_a_fitter_needs(sheet: bytes, tmp_path: Path) -> None:
    text = flat(ask("pdftotext", sheet, tmp_path, "-layout"))
    for wanted in (
        "library foyer 120",
        "1040 (940…1150) mg/h",
        "2.5 (2.1…3.0) a second",
        "06:30–17:00",
        "10:00–18:00",
        "14…20 mg/L",
        "25 mg/L",
        "hardy dwarf shrimp",
        "22.8 (19.0…27.5) mg/L",
        "28 March 2027",
        "Log pH for one night",
        "KH is all carbonate",
        "Harned",
        "second hand",
        "Upright and chained",
        "licensed",
        "Cold burns",
        "Room air",
        "Electricity near water",
        "Watch the animals",
        "dvisory only",
        "24 November 2026",
        "600 draws",
        "1 of ",
    ):
        assert wanted in text, wanted


def test_levels_are_named_in_words_for_a_print_without_colour(sheet: bytes, tmp_path: Path) -> None:
    text = flat(ask("pdftotext", sheet, tmp_path))
    for level in Level:
        assert f"{level.value} " in text


def test_the_sheet_promises_nothing_and_does_not_shout(sheet: bytes, tmp_path: Path) -> None:
    text = ask("pdftotext", sheet, tmp_path)
    assert not re.search(r"\bsafe", text, re.IGNORECASE)
    assert "!" not in text


def test_hostile_words_are_printed_as_they_came(tmp_path: Path) -> None:
    text = flat(ask("pdftotext", plan_sheet(PLANS["hostile words"], today=DAY), tmp_path))
    assert '#evil[*x*] "quoted" \\back\\slash <b>&amp; ]] $x^2$' in text


def test_a_name_in_other_letters_is_printed(tmp_path: Path) -> None:
    plan = changed(made_up_plan(), name="Łódź, Ελλάδα, Аквариум")
    assert "Łódź, Ελλάδα, Аквариум" in flat(ask("pdftotext", plan_sheet(plan, today=DAY), tmp_path))


def test_long_names_stay_on_the_page(tmp_path: Path) -> None:
    pdf = plan_sheet(PLANS["long words"], today=DAY)
    text = ask("pdftotext", pdf, tmp_path, "-bbox")
    reach = [float(x) for x in re.findall(r'xMax="([\d.]+)"', text)]
    # 210 mm less a margin of 15 mm is 552.8 pt; side bearings may hang out by a point.
    assert max(reach) <= 554
    assert LONG[:30] in flat(ask("pdftotext", pdf, tmp_path))


def test_us_readers_get_psi_and_ounces(tmp_path: Path) -> None:
    text = flat(ask("pdftotext", plan_sheet(made_up_plan(), system=System.US, today=DAY), tmp_path))
    assert "psi" in text
    assert "oz a day" in text
    assert "mg/L" in text


def test_a_bottle_for_ever_has_no_date() -> None:
    plan = changed(
        made_up_plan(), bottle_days=band(1e6, "days", 9e5, 2e6), swap_days=band(20, "days", 10, 1e7)
    )
    words = "".join(run["text"] for line in say.bottle_words(plan, DAY, System.METRIC) for run in line)
    assert "more than ten years" in words
    assert "much later" in words


def test_dates_count_from_the_day_of_the_sheet() -> None:
    # 24 November 2026 and 124 days: 6 of November, 31, 31, 28 and 28 of March make 124.
    words = "".join(r["text"] for line in say.bottle_words(made_up_plan(), DAY, System.METRIC) for r in line)
    assert f"28{NB}March{NB}2027" in words
    assert f"13{NB}March and 13{NB}April{NB}2027" in words


def test_the_verdict_keeps_its_words_and_sets_numbers_bold() -> None:
    verdict = (
        "Set 1.16 bubbles a second, gas from 06:30. Peaks at 15.8 (9.80…24.7) mg/L in 15…20 mg/L, 3 of 100."
    )
    runs = say.verdict_runs(verdict)
    assert "".join(r["text"] for r in runs).replace(NB, " ") == verdict
    bold = [r["text"].replace(NB, " ") for r in runs if r["bold"]]
    assert bold == ["1.16 bubbles a second", "06:30", "15.8 (9.80…24.7) mg/L", "15…20 mg/L"]


def test_findings_come_gravest_first_and_split_after_their_first_sentence() -> None:
    rows = say.finding_rows(
        [
            Finding(Level.NOTE, "KH was read once, at 4.8 dKH. Read it again.", "water.kh"),
            Finding(Level.STOP, "Do not fill it.", "bottle"),
        ]
    )
    assert [r["level"] for r in rows] == ["stop", "note"]
    assert (rows[1]["what"], rows[1]["why"]) == (f"KH was read once, at 4.8{NB}dKH.", "Read it again.")
    assert rows[0]["why"] == ""


def test_every_equation_stands_under_its_source() -> None:
    plan = made_up_plan()
    groups = [g for column in say.source_columns(plan.trail) for g in column]
    assert len(groups) == len(plan.trail.sources)
    assert sum(len(g["gives"]) for g in groups) == len(plan.trail.equations)
    assert {g["mark"] for g in groups} == {"second hand", "memory", "derived"}


def test_settings_never_show_a_rate_without_limits() -> None:
    for row in say.settings(made_up_plan(), System.METRIC)[:2]:
        assert "…" in row["value"]
        assert "…" in row["note"]


def test_a_share_near_nothing_is_not_called_nothing() -> None:
    words = "".join(r["text"] for line in say.stuck_words(made_up_plan()) for r in line)
    assert f"under 1{NB}%" in words
