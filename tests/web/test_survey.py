"""The survey: every fault beside its field, input kept, two versions where two wrote at once."""

from __future__ import annotations

import re

import pytest

from tests.web.forms import fields

SLUG = "library-foyer-120"
SURVEY = f"/job/{SLUG}/survey"


@pytest.mark.usefixtures("foyer")
def test_the_form_shows_what_the_file_says(pages):
    shown = fields(pages.get(SURVEY).text)
    assert shown["tank.length"] == "120"
    assert shown["light.on"] == "12:00"
    assert shown["plants[2].grows"] == "slow shade plants"


def test_keeping_the_form_untouched_changes_nothing(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    assert pages.post(SURVEY, data={**shown, "revision": "1"}).status_code == 303
    assert workshop.kept(SLUG).text == foyer.text


@pytest.mark.usefixtures("foyer")
def test_a_changed_field_is_kept_and_comments_stay(pages, workshop):
    shown = fields(pages.get(SURVEY).text)
    answer = pages.post(SURVEY, data={**shown, "water.kh": "5,5", "tank.length": "48 in", "revision": "1"})
    assert answer.headers["location"] == f"{SURVEY}?kept=yes"
    kept = workshop.kept(SLUG)
    assert 'kh = "5,5 dKH"' in kept.text
    assert 'length = "48 in"' in kept.text
    assert "# carbonate hardness, by titration" in kept.text
    assert (kept.revision_count, kept.by, kept.device) == (2, "keeper", "computer")


@pytest.mark.usefixtures("foyer")
def test_every_fault_stands_beside_its_field_and_input_is_kept(pages, workshop):
    shown = fields(pages.get(SURVEY).text)
    wrong = {"water.kh": "480", "light.on": "25:99", "room.volume": "much", "tank.water_depth": "70"}
    answer = pages.post(SURVEY, data={**shown, **wrong, "revision": "1"})
    assert answer.status_code == 422
    again = fields(answer.text)
    for key, value in wrong.items():
        assert again[key] == value
        said = re.search(
            rf'<p class="err" id="f-{re.sub("[^a-z0-9]+", "-", key)}-e">([^<]*)</p>', answer.text
        )
        assert said[1].strip(), key
    assert workshop.kept(SLUG).revision_count == 1


@pytest.mark.usefixtures("foyer")
def test_the_check_answers_while_writing(pages):
    shown = fields(pages.get(SURVEY).text)
    fine = pages.post(f"{SURVEY}/check", data={**shown, "revision": "1"}).text
    assert "net water" in fine
    wrong = pages.post(f"{SURVEY}/check", data={**shown, "water.kh": "480", "revision": "1"}).text
    assert "1 value needs a look" in wrong
    assert re.search(r'id="f-water-kh-e" hx-swap-oob="true">[^<]+<', wrong)


@pytest.mark.usefixtures("foyer")
def test_rows_can_be_added_and_taken_out(pages, workshop):
    shown = fields(pages.get(SURVEY).text)
    added = pages.post(SURVEY, data={**shown, "revision": "1", "add": "plants"})
    more = fields(added.text)
    assert more["plants[3].cover"] == ""
    more |= {"plants[3].cover": "5", "plants[3].grows": "mixed"}
    assert pages.post(SURVEY, data={**more, "revision": "1"}).status_code == 303
    assert len(workshop.job(workshop.kept(SLUG)).plants) == 3
    fewer = fields(pages.post(SURVEY, data={**more, "revision": "2", "drop": "plants[1]"}).text)
    assert pages.post(SURVEY, data={**fewer, "revision": "2"}).status_code == 303
    assert [bed.cover_frac for bed in workshop.job(workshop.kept(SLUG)).plants] == [0.20, 0.05]


def test_a_blank_survey_can_be_kept_unfinished_and_finished_later(pages):
    pages.post("/jobs", data={"how": "blank", "name": "corner tank"})
    address = "/job/corner-tank/survey"
    shown = fields(pages.get(address).text)
    shown["tank.length"] = "60"
    assert pages.post(address, data={**shown, "revision": "1"}).status_code == 422
    assert pages.post(address, data={**shown, "revision": "1", "unfinished": "yes"}).status_code == 303
    assert fields(pages.get(address).text)["tank.length"] == "60"
    assert pages.get("/job/corner-tank/plan").status_code == 422
    rest = {
        "tank.width": "30", "tank.height": "36", "tank.water_depth": "32", "water.kh": "4",
        "water.temperature": "24", "surface.looks": "rippled", "light.on": "10:00", "light.off": "18:00",
        "light.par": "60", "gasline.bottle.charge": "500", "gasline.diffuser.kind": "fine ceramic disc",
        "gasline.diffuser.depth": "25", "room.volume": "40",
    }  # fmt: skip
    assert pages.post(address, data={**shown, **rest, "revision": "2"}).status_code == 303
    assert pages.get("/job/corner-tank/plan").status_code == 200


@pytest.mark.usefixtures("foyer")
def test_two_at_once_see_both_versions_and_nothing_is_written_over(pages, workshop):
    shown = fields(pages.get(SURVEY).text)
    pages.post(SURVEY, data={**shown, "water.kh": "6", "revision": "1"})
    answer = pages.post(SURVEY, data={**shown, "water.kh": "7", "revision": "1"})
    assert answer.status_code == 409
    assert "Two versions" in answer.text
    assert re.search(r"water\.kh</th><td[^>]*>6</td><td[^>]*>7</td>", answer.text)
    assert workshop.job(workshop.kept(SLUG)).water.kh_dkh == 6.0
    mine = fields(answer.text)
    assert mine["water.kh"] == "7"
    assert pages.post(SURVEY, data={**mine, "revision": "2"}).status_code == 303
    assert workshop.job(workshop.kept(SLUG)).water.kh_dkh == 7.0


def test_undo_brings_back_what_was(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    pages.post(SURVEY, data={**shown, "water.kh": "6", "revision": "1"})
    assert pages.post(f"/job/{SLUG}/undo", data={"revision": "2"}).status_code == 303
    assert workshop.kept(SLUG).text == foyer.text
    assert pages.post(f"/job/{SLUG}/undo", data={"revision": "2"}).status_code == 409
