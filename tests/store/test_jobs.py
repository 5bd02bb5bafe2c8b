"""Jobs in the record: kept as they are, never overwritten, every change undone and told."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from fizzwright.errors import EditedElsewhere, InputError, NotFound
from fizzwright.store import JobHead

TEXT = "# Küche, \"Regal\"\r\n[job]\nname = 'a'\t\n\n"
ME = {"by": "me", "device": "desk"}


def test_text_comes_back_as_it_went_in(store, clock):
    kept = store.add_job(TEXT, **ME, slug="kitchen", timezone="Europe/Berlin", note="first")
    assert kept == store.job("kitchen")
    assert kept.text == TEXT
    assert (kept.by, kept.device, kept.timezone, kept.note) == ("me", "desk", "Europe/Berlin", "first")
    assert kept.changed_utc == clock.moment
    assert store.jobs() == (JobHead("kitchen", 1, kept.changed_utc, False),)


def test_names_are_found_where_none_is_given(store):
    assert [store.add_job("", **ME).slug for _ in range(3)] == ["tank", "tank-2", "tank-3"]


def test_a_taken_name_is_refused_with_a_free_one(store):
    store.add_job("a", **ME, slug="shelf")
    with pytest.raises(InputError, match="shelf-2 is free"):
        store.add_job("b", **ME, slug="shelf")
    assert store.job("shelf").text == "a"


@pytest.mark.parametrize("slug", ["", "../up", "A", "a/b", "a--b", "-a", "a" * 81, "con.toml", "a\n", "é"])
def test_names_that_could_be_no_file_are_refused(store, slug):
    with pytest.raises(InputError):
        store.add_job("a", **ME, slug=slug)
    assert store.jobs() == ()


def test_what_is_not_there_is_said(store):
    store.add_job("a", **ME, slug="shelf")
    for ask in (store.job, store.history, store.readings, store.ticks):
        with pytest.raises(NotFound, match="'nowhere'"):
            ask("nowhere")
    with pytest.raises(NotFound, match="has 1 to 1"):
        store.job("shelf", revision=2)


def test_history_keeps_every_text(store):
    store.add_job("a", **ME, slug="shelf")
    store.save_job("shelf", "b", expected_revision=1, by="you", device="phone", note="lower feed")
    texts = [(kept.revision_count, kept.text, kept.by, kept.note) for kept in store.history("shelf")]
    assert texts == [(1, "a", "me", ""), (2, "b", "you", "lower feed")]
    assert store.job("shelf", revision=1).text == "a"


def test_a_change_from_elsewhere_is_never_written_over(store):
    store.add_job("a", **ME, slug="shelf")
    store.save_job("shelf", "theirs", expected_revision=1, by="you", device="phone")
    with pytest.raises(EditedElsewhere, match="by you from phone") as refused:
        store.save_job("shelf", "mine", expected_revision=1, **ME)
    assert (refused.value.yours, refused.value.theirs) == ("mine", "theirs")
    assert refused.value.revision_count == 2
    assert store.job("shelf").text == "theirs"
    for call in (store.undo, store.archive):
        with pytest.raises(EditedElsewhere):
            call("shelf", expected_revision=1, **ME)


def test_of_many_at_once_one_is_kept(store):
    store.add_job("a", **ME, slug="shelf")

    def save(number):
        try:
            return store.save_job("shelf", str(number), expected_revision=1, **ME).text
        except EditedElsewhere as refused:
            return refused

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(save, range(8)))
    kept = [text for text in found if isinstance(text, str)]
    assert kept == [store.job("shelf").text]
    assert {refused.theirs for refused in found if isinstance(refused, EditedElsewhere)} == set(kept)


def test_many_new_jobs_at_once_get_names_of_their_own(store):
    with ThreadPoolExecutor(8) as pool:
        slugs = list(pool.map(lambda text: store.add_job(text, **ME).slug, "abcdefgh"))
    assert len(set(slugs)) == 8 == len(store.jobs())


def test_undo_goes_back_step_by_step_and_past_an_undo(store):
    store.add_job("a", **ME, slug="shelf")
    for revision, text in enumerate("bc", 1):
        store.save_job("shelf", text, expected_revision=revision, **ME)
    assert store.undo("shelf", expected_revision=3, **ME).text == "b"
    assert store.undo("shelf", expected_revision=4, **ME).text == "a"
    with pytest.raises(NotFound, match="nothing to undo"):
        store.undo("shelf", expected_revision=5, **ME)
    store.save_job("shelf", "d", expected_revision=5, **ME)
    back = store.undo("shelf", expected_revision=6, **ME)
    assert (back.text, back.carries, back.note) == ("a", 1, "back to revision 1")
    assert [kept.text for kept in store.history("shelf")] == ["a", "b", "c", "b", "a", "d", "a"]


def test_putting_away_and_taking_out(store):
    store.add_job("a", **ME, slug="shelf")
    store.archive("shelf", expected_revision=1, **ME)
    assert store.jobs()[0].archived
    assert store.save_job("shelf", "b", expected_revision=2, **ME).archived
    assert not store.archive("shelf", False, expected_revision=3, **ME).archived
    assert store.undo("shelf", expected_revision=4, **ME).archived


def test_ticks_say_how_the_card_stands_and_how_it_came_to(store):
    store.add_job("a", **ME, slug="shelf")
    store.tick("shelf", "leak test", True, **ME)
    store.tick("shelf", "chain", True, **ME)
    store.tick("shelf", "leak test", False, by="you", device="phone", timezone="Europe/Berlin")
    stands = [(tick.item, tick.done, tick.by) for tick in store.ticks("shelf")]
    assert stands == [("leak test", False, "you"), ("chain", True, "me")]
    assert [tick.done for tick in store.tick_history("shelf")] == [True, True, False]
    assert store.tick_history("shelf")[2].ticked_utc > store.tick_history("shelf")[1].ticked_utc


def test_unkeepable_texts_are_refused_all_at_once(store):
    with pytest.raises(InputError) as refused:
        store.add_job("a\0b", by="x" * 201, device="\ud800", timezone="Mars/Base")
    assert {fault.field for fault in refused.value.faults} == {"text", "by", "device", "timezone"}
    assert store.jobs() == ()


def test_text_is_never_taken_for_a_command(store):
    nasty = "'; DROP TABLE jobs; --"
    store.add_job(nasty, by=nasty, device=nasty, slug="shelf")
    store.tick("shelf", nasty, True, by=nasty, device=nasty)
    assert store.job("shelf").text == nasty
    with pytest.raises(NotFound):
        store.job(nasty)
    assert len(store.jobs()) == 1
