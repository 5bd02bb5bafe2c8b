"""One test for each thing the guard holds off."""

from __future__ import annotations

import pytest

from fizzwright.web.guard import CONTENT_POLICY, MOST_BYTES
from fizzwright.web.login import SESSION_COOKIE, Tries, lan_key

EVIL = "<script>alert(1)</script><b>\"'&"


@pytest.mark.parametrize("path", ["/", "/static/style.css", "/nothing", "/job/none/plan"])
def test_every_answer_carries_the_policy(pages, path):
    headers = pages.get(path).headers
    assert headers["content-security-policy"] == CONTENT_POLICY
    assert headers["x-content-type-options"] == "nosniff"


def test_policy_lets_nothing_in_from_elsewhere():
    assert CONTENT_POLICY.startswith("default-src 'self'")
    for part in ("object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'", "img-src 'self' data:"):
        assert part in CONTENT_POLICY
    assert "unsafe" not in CONTENT_POLICY


@pytest.mark.usefixtures("foyer")
def test_pages_hold_no_inline_script_or_style(pages):
    for path in ("/", "/job/library-foyer-120/survey", "/job/library-foyer-120/plan?station=4",
                 "/job/library-foyer-120/dial", "/job/library-foyer-120/papers"):  # fmt: skip
        text = pages.get(path).text
        assert "<style" not in text
        assert " style=" not in text
        assert " on" + "click=" not in text
        assert text.count("<script") == text.count("<script src=")


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "[::1"])
def test_a_foreign_host_name_is_refused(pages, host):
    assert pages.get("/", headers={"host": host}).status_code == 400


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
    ],
)
def test_another_site_cannot_change_anything(pages, workshop, headers):
    answer = pages.post("/jobs", data={"how": "blank", "name": "x"}, headers=headers)
    assert answer.status_code == 403
    assert workshop.heads() == ()


def test_own_origin_may_change_things(pages, workshop):
    headers = {"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin"}
    answer = pages.post("/jobs", data={"how": "blank", "name": "x"}, headers=headers)
    assert answer.status_code == 303
    assert [head.slug for head in workshop.heads()] == ["x"]


def test_a_large_body_is_refused_before_it_is_read(pages):
    answer = pages.post("/jobs", content=b"x" * (MOST_BYTES + 1))
    assert answer.status_code == 413


@pytest.mark.usefixtures("foyer")
def test_a_large_body_of_unsaid_length_is_refused(pages):
    def parts():
        for _ in range(MOST_BYTES // 100_000 + 2):
            yield b"x" * 100_000

    answer = pages.post(
        "/job/library-foyer-120/readings", content=parts(), headers={"content-type": "application/json"}
    )
    assert answer.status_code == 413


@pytest.mark.parametrize(
    "path",
    ["/static/..%2Fserver.py", "/static/../server.py", "/static/fonts/..%2f..%2fweb%2frun.py",
     "/job/..%2F..%2Fetc/job.toml", "/static/vendored.toml", "/static/fonts/LICENCE.txt"],
)  # fmt: skip
def test_no_path_leads_out(pages, path):
    assert pages.get(path).status_code == 404


def test_names_are_escaped_in_pages_and_drawings(pages, workshop, foyer):
    import json

    text = foyer.text.replace('name = "library foyer 120"', f"name = {json.dumps(EVIL)}")
    workshop.store.save_job(foyer.slug, text, expected_revision=1, by=EVIL, device="computer", note=EVIL)
    for path in ("/", "/bottles", *(f"/job/{foyer.slug}/{s}" for s in ("survey", "plan", "dial", "papers"))):
        body = pages.get(path).text
        assert "<script>alert" not in body
        assert "&lt;script&gt;alert(1)" in body


def test_what_is_typed_comes_back_escaped(pages, foyer):
    body = pages.post(f"/job/{foyer.slug}/survey", data={"water.kh": EVIL, "revision": "1"}).text
    assert "<script>alert" not in body


def test_an_event_cannot_become_a_formula_in_the_csv(pages, workshop, foyer):
    from tests.web.readings import reading

    workshop.store.add_readings(foyer.slug, [reading("1", "", None, event="=HYPERLINK(1)")])
    rows = pages.get(f"/job/{foyer.slug}/readings.csv").text.splitlines()
    assert rows[1].endswith(",'=HYPERLINK(1)")


@pytest.mark.parametrize("back", ["//evil.example", "https://evil.example", "/\\evil.example", "/a\r\nx: y"])
def test_the_sheet_switch_leads_to_no_other_site(pages, back):
    answer = pages.post("/sheet", data={"sheet": "night", "back": back})
    assert answer.headers["location"] == "/"
    assert "httponly" in answer.headers["set-cookie"].lower()
    assert "samesite=lax" in answer.headers["set-cookie"].lower()


# ---- the door


def come_in(client, passphrase, **more):
    return client.post("/login", data={"passphrase": passphrase, "name": "visitor"}, **more)


@pytest.mark.usefixtures("foyer")
def test_a_network_is_sent_to_the_door(network):
    for path in ("/", "/job/library-foyer-120/plan", "/job/library-foyer-120/job.toml"):
        answer = network.get(path)
        assert (answer.status_code, answer.headers["location"]) == (303, "/login")
    assert network.post("/jobs", data={"how": "blank", "name": "x"}).status_code == 401
    assert network.get("/login").status_code == 200


def test_the_passphrase_lets_in(network, key):
    answer = come_in(network, f" {key.passphrase.upper()} ")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=lax" in cookie
    assert network.get("/").status_code == 200


def test_leaving_forgets(network, key):
    come_in(network, key.passphrase)
    network.post("/logout")
    assert network.get("/").status_code == 303


def test_too_many_wrong_tries_are_not_heard(network, key, clock):
    assert [come_in(network, "wrong").status_code for _ in range(5)] == [403] * 5
    refused = come_in(network, key.passphrase)
    assert refused.status_code == 429
    assert int(refused.headers["retry-after"]) > 0
    clock.now_s += 61
    assert come_in(network, key.passphrase).status_code == 303


def test_many_addresses_together_are_slowed(clock):
    tries = Tries(now_s=clock)
    for n in range(40):
        tries.failed(f"10.0.0.{n}")
    assert tries.wait_s("10.0.1.1") > 0


def test_a_session_is_never_taken_over_from_before(network, key):
    """Session fixation: a cookie planted beforehand is worth nothing, and coming in makes a new one."""
    network.cookies.set(SESSION_COOKIE, "planted")
    assert network.get("/").status_code == 303
    first = come_in(network, key.passphrase).cookies[SESSION_COOKIE]
    second = come_in(network, key.passphrase).cookies[SESSION_COOKIE]
    assert len({"planted", first, second}) == 3


def test_a_changed_session_is_refused(network, key):
    come_in(network, key.passphrase)
    good = network.cookies[SESSION_COOKIE]
    network.cookies.clear()
    network.cookies.set(SESSION_COOKIE, good[:-2] + ("aa" if good[-2:] != "aa" else "bb"))
    assert network.get("/").status_code == 303


def test_saying_to_be_the_machine_itself_is_not_enough(network):
    assert network.get("/", headers={"host": "127.0.0.1"}).status_code == 303
    assert network.get("/", headers={"x-forwarded-for": "127.0.0.1"}).status_code == 303


def test_key_is_for_its_user_alone_and_outlives_a_restart(tmp_path):
    first = lan_key(tmp_path / "k")
    assert lan_key(tmp_path / "k") == first
    assert (tmp_path / "k" / "lan.json").stat().st_mode & 0o077 == 0
