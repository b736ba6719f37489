"""The plan form, the offers, the bake: what comes back to the person, right or wrong."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from flask import Flask

from tests.samples import at
from tests.web.conftest import NOW, SAME, Clock, InKitchen, event
from tests.web.seen import mistakes
from webapp.kitchens.access import change_kitchen
from webapp.machine.settings import Settings
from webapp.web.app import create_app

PAGES = (
    "/", "/settings", "/settings/people/0", "/settings/people/1", "/join", "/take-along", "/larder", "/larder/new",
    "/larder/bench-tray", "/larder/new?from=poolish-tray", "/book", "/week", "/plan", "/change/when", "/change/pan",
    "/change/dough", "/change/warm", "/change/who",
)  # fmt: skip


def test_a_form_asks_all_the_questions_at_once_and_the_first_plan_gives_the_phone_a_key(app: Flask) -> None:
    new = InKitchen(app.test_client())
    response = new.get("/plan")
    for question in ("When do we eat?", "What do we bake in?", "Which dough?", "How warm is the kitchen?", "When am I"):
        assert question in response.text
    response = new.posts("/plan", new.answers())
    cookie = next(one for one in response.headers.getlist("Set-Cookie") if one.startswith("suppertide="))
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Secure" not in cookie  # plain http: a Secure cookie would not come back


def test_over_https_both_cookies_are_secure(app: Flask) -> None:
    client = app.test_client()
    page = client.get("/", base_url="https://localhost")
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', page.text)
    assert token
    sent = {"zone": "Europe/Lisbon", "csrf_token": token[1]}
    saved = client.post("/settings/zone", data=sent, base_url="https://localhost", headers=SAME)
    cookies = [*page.headers.getlist("Set-Cookie"), *saved.headers.getlist("Set-Cookie")]
    assert {one.split("=")[0] for one in cookies} == {"suppertide-form", "__Host-suppertide"}
    assert all("Secure" in cookie and "HttpOnly" in cookie for cookie in cookies)


def test_a_second_visit_makes_no_second_kitchen(kitchen: InKitchen) -> None:
    kitchen.get("/")
    assert not [one for one in kitchen.get("/").headers.getlist("Set-Cookie") if one.startswith("suppertide=")]


def test_the_key_is_handed_out_again_while_visits_go_on(kitchen: InKitchen, clock: Clock) -> None:
    kitchen.get("/")
    before = kitchen.client.get_cookie("suppertide")
    clock.now += 2 * 3600
    (again,) = [one for one in kitchen.get("/").headers.getlist("Set-Cookie") if one.startswith("suppertide=")]
    assert before is not None
    assert before.value in again
    assert f"Max-Age={400 * 86400}" in again
    assert not [one for one in kitchen.get("/").headers.getlist("Set-Cookie") if one.startswith("suppertide=")]


def test_every_page_shows_with_one_heading(kitchen: InKitchen) -> None:
    for path in PAGES:
        response = kitchen.get(path)
        assert response.status_code == 200, path
        assert len(re.findall(r"<h1[ >]", response.text)) == 1, path


def test_no_page_of_a_person_may_be_kept_by_anybody(kitchen: InKitchen) -> None:
    for path in PAGES:
        wanted = "no-store" if path == "/join" else "private, no-cache"  # a key may stand on it
        assert kitchen.get(path).headers["Cache-Control"] == wanted, path


def test_every_id_on_a_page_is_there_once(kitchen: InKitchen) -> None:
    kitchen.has_a_bake()
    for path in PAGES:
        ids = re.findall(r'\sid="([^"]+)"', kitchen.get(path).text)
        assert not {one for one in ids if ids.count(one) > 1}, path


def test_every_label_names_a_field_that_is_there(kitchen: InKitchen) -> None:
    for path in PAGES:
        page = kitchen.get(path).text
        ids = set(re.findall(r'\sid="([^"]+)"', page))
        assert set(re.findall(r'<label[^>]*\sfor="([^"]+)"', page)) <= ids, path


def test_nothing_on_a_page_needs_what_the_content_policy_forbids(kitchen: InKitchen) -> None:
    for path in PAGES:
        response = kitchen.get(path)
        assert "script-src 'self'" in response.headers["Content-Security-Policy"]
        assert "unsafe" not in response.headers["Content-Security-Policy"]
        assert not re.search(r"<script(?![^>]*\ssrc=)|\son[a-z]+=|\sstyle=|<style|javascript:", response.text), path


def test_five_answers_lead_to_offers_and_a_picked_bake(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    offers = kitchen.get(f"/bakes/{bake_id}")
    assert offers.status_code == 200
    assert offers.text.count(f'action="/bakes/{bake_id}/pick"') == 3
    assert kitchen.picks(bake_id, 1).headers["Location"] == f"/bakes/{bake_id}"
    bake = kitchen.get(f"/bakes/{bake_id}")
    assert "Tray pizza for Wednesday, second" in bake.text
    assert f'href="/kitchen#{bake_id}"' in kitchen.get("/").text


def test_the_address_of_the_form_s_answer_shows_the_form_when_it_is_typed_in_or_reloaded(kitchen: InKitchen) -> None:
    assert 'action="/plan"' in kitchen.get("/plan").text


def test_yesterdays_answers_are_filled_in_for_the_next_evening_but_not_what_was_told_of_its_day(
    kitchen: InKitchen, clock: Clock
) -> None:
    kitchen.plans({"supper": "2026-11-25T20:15", "pan-round-28": "2", "formula_key": "oil-tray", "room": "19,5",
                   "hours": "differ", "away": "9:00-12:00, 13-17:30"})  # fmt: skip
    clock.now = NOW + 86400
    page = kitchen.get("/plan").text
    assert re.search(r'name="supper"[^>]*value="2026-11-2[6-9]T20:15"', page), "the first such evening that has room"
    assert re.search(r'name="pan-round-28"[^>]*value="2"', page)
    assert re.search(r'value="oil-tray"[^>]*>|checked[^>]*value="oil-tray"', page)
    assert re.search(r'name="room"[^>]*value=""', page)
    assert re.search(r'name="away"[^>]*value=""', page)
    assert 'value="usual" checked' in page or re.search(r'checked[^>]*value="usual"', page)


@pytest.mark.parametrize(
    ("hour", "evening"),
    [(6.8, "2026-11-25T19:30"), (10.5, "2026-11-26T19:30"), (18.2, "2026-11-26T19:30"), (23.9, "2026-11-26T19:30")],
)
def test_a_newcomer_is_offered_the_first_evening_that_can_have_bread(
    kitchen: InKitchen, clock: Clock, hour: float, evening: str
) -> None:
    # An ordinary week is away from 8:00 to 17:45: after eight nothing can be mixed for the same evening.
    clock.now = at(0) + int(hour * 3600)
    assert f'value="{evening}"' in kitchen.get("/plan").text


def test_an_evening_that_has_a_bake_is_not_offered_again(kitchen: InKitchen) -> None:
    kitchen.has_a_bake()
    assert 'value="2026-11-26T19:30"' in kitchen.get("/").text


WRONG = [
    ({"supper": "2026-11-24T19:30"}, "already past"),
    ({"supper": "2027-03-01T19:30"}, "more than two weeks away"),
    ({"supper": "tonight"}, "is not a date and time"),
    ({"supper": ""}, "needs a day and a time"),
    ({"supper": "2026-02-30T19:30"}, "is not a date and time"),
    ({"pan-oven-tray": "0"}, "No pan is chosen"),
    ({"pan-oven-tray": "two"}, "“two” does not fit"),
    ({"pan-oven-tray": "-1"}, "“-1” does not fit"),
    ({"pan-oven-tray": "7"}, "from 0 to 6"),
    ({"pan-oven-tray": "4", "pan-round-28": "4"}, "6 at most in one bake"),
    ({"other_shape": "rectangle", "other_length": "300", "other_width": "30"}, "Between 8 and 100 cm"),
    ({"other_shape": "rectangle", "other_length": "0", "other_width": "30"}, "Between 8 and 100 cm"),
    ({"other_shape": "round", "other_length": "NaN"}, "“NaN” is not a number"),
    ({"other_shape": "round", "other_length": "1e1"}, "“1e1” is not a number"),
    ({"other_shape": "measured", "other_water_g": "5"}, "Between 50 and 10000 g"),
    ({"other_shape": "star"}, "“star” is not on the list"),
    ({"formula_key": "nobodys"}, "“nobodys” is not on the list"),
    ({"formula_key": ""}, "Which dough is not answered yet"),
    ({"toppings_key": "gravel"}, "“gravel” is not on the list"),
    ({"room": "60"}, "Between 0 and 45 °C"),
    ({"room": "warm"}, "“warm” is not a number"),
    ({"room": "inf"}, "“inf” is not a number"),
    ({"hours": "sometimes"}, "“sometimes” is not on the list"),
    ({"hours": "differ"}, "hours away are missing"),
    ({"hours": "differ", "away": "8-25:00"}, "“8-25:00” is not a stretch of the day"),
    ({"hours": "differ", "away": "all day"}, "“all day” is not a stretch of the day"),
    ({"method_key": "magic"}, "“magic” is not on the list"),
    ({"loading": "9"}, "Between 0.1 and 1.5 g on each cm²"),
    ({"loss_percent": "50"}, "Between 0 and 20 %"),
    ({"start": "soonish"}, "is not a date and time"),
]


def test_the_form_asks_for_an_evening_and_a_time_in_the_kitchens_own_style(kitchen: InKitchen) -> None:
    page = kitchen.get("/plan").text
    assert "datetime-local" not in page.split('id="q-dough"')[0]
    assert re.search(r'name="at"[^>]*value="19:30"', page)
    kitchen.plans({"day": "2026-11-27", "at": "8:15 pm"})
    assert "2026-11-27T20:15" in kitchen.get(f"/plan?again={kitchen.plans({'date': '2026-11-27', 'at': '20:15'})}").text
    wrong = kitchen.posts("/plan", kitchen.answers({"day": "2026-11-27", "at": "late"}))
    assert "“late” is not a time of day" in mistakes(wrong.text)
    assert re.search(r'name="at"[^>]*value="late"', wrong.text)


CHOSEN = ("formula_key", "hours", "toppings_key", "method_key", "other_shape")  # radio buttons and lists


@pytest.mark.parametrize(("changes", "words"), WRONG, ids=[words for _, words in WRONG])
def test_a_wrong_answer_is_named_and_nothing_typed_is_lost(
    kitchen: InKitchen, changes: dict[str, str], words: str
) -> None:
    typed = kitchen.answers({"loss_percent": "1.25"} | changes)
    response = kitchen.posts("/plan", typed)
    assert response.status_code == 422
    assert words in mistakes(response.text)
    for name, value in typed.items():
        if value and name not in CHOSEN:
            assert re.search(rf'name="{name}"[^>]*value="{re.escape(html.escape(value))}"', response.text), name
    answer = kitchen.get("/api/bakes").json
    assert answer is not None
    assert answer["bakes"] == []


def test_all_mistakes_come_at_once_each_at_its_field(kitchen: InKitchen) -> None:
    response = kitchen.posts("/plan", {"supper": "x", "formula_key": "y", "room": "z", "hours": "differ"})
    for name in ("supper", "formula_key", "room", "away"):
        assert f'href="#{name}"' in response.text
    assert "No pan is chosen" in mistakes(response.text)


ODD = ("\x00", "\u202e", "<script>alert(1)</script>", "'; DROP TABLE bakes; --", "9" * 400, "🍕" * 300)


@pytest.mark.parametrize("text", ODD, ids=range(len(ODD)))
def test_odd_text_in_every_field_is_a_mistake_and_no_fault(kitchen: InKitchen, text: str) -> None:
    fields = ("supper", "pan-oven-tray", "formula_key", "toppings_key", "room", "hours", "loading", "method_key")
    response = kitchen.posts("/plan", dict.fromkeys(fields, text))
    assert response.status_code == 422
    assert all(f'href="#{field}"' in response.text for field in fields)
    assert "<script>alert" not in response.text


def test_a_time_that_comes_twice_is_asked_about_and_the_answer_is_kept(kitchen: InKitchen, clock: Clock) -> None:
    # 25 October 2026: clocks in London go back at 02:00 summer time (EU and UK rule: the last Sunday of October).
    clock.now = 1792886400  # 2026-10-24T12:00Z
    asked = kitchen.posts("/plan", kitchen.answers({"supper": "2026-10-25T01:30"}))
    assert asked.status_code == 422
    assert "comes twice" in mistakes(asked.text)
    assert 'name="supper_fold"' in asked.text
    kitchen.plans({"supper": "2026-10-25T01:30", "supper_fold": "1"})


def test_two_megabytes_of_form_get_a_clear_page(kitchen: InKitchen) -> None:
    response = kitchen.posts("/plan", {"away": "x" * 2_000_000})
    assert response.status_code == 413
    assert "more than the server takes at once" in response.text


def test_ten_thousand_fields_get_a_clear_page(kitchen: InKitchen) -> None:
    response = kitchen.posts("/plan", {f"f{i}": "x" for i in range(10_000)})
    assert response.status_code in (413, 422)


def test_no_token_no_change(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    response = kitchen.client.post(f"/bakes/{bake_id}/delete", headers=SAME)
    assert response.status_code == 400
    assert "nothing was changed" in response.text
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 200


def test_every_form_route_wants_a_token(app: Flask, kitchen: InKitchen) -> None:
    """Asserted over the routing table, so that a new form cannot forget it. The API is kept safe by origin.py."""
    kitchen.get("/")
    for rule in app.url_map.iter_rules():
        if "POST" not in (rule.methods or ()) or rule.rule.startswith("/api/"):
            continue
        path = re.sub(r"<int:[^>]+>", "0", rule.rule)
        response = kitchen.client.post(re.sub(r"<[^>]+>", "x", path), headers=SAME)
        assert response.status_code == 400, rule.rule
        assert "Go back, reload the page" in response.text, rule.rule


def test_a_form_from_another_site_is_refused(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    token = kitchen.token()
    elsewhere = ({"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "http://evil.example"})
    for headers in elsewhere:
        response = kitchen.client.post(f"/bakes/{bake_id}/drop", data={"csrf_token": token}, headers=headers)
        assert response.status_code == 403


def test_behind_a_proxy_that_says_nothing_the_public_address_is_ours(settings: Settings) -> None:
    app = create_app(Settings(settings.data, public_url="https://bread.example"))
    kitchen = InKitchen(app.test_client())
    at_home = {"base_url": "http://bread.example"}
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', kitchen.get("/", **at_home).text)
    assert token
    for origin, status in (("https://bread.example", 303), ("http://bread.example", 303), ("https://x.example", 403)):
        form = {"csrf_token": token[1], "zone": "Europe/Lisbon"}
        response = kitchen.client.post("/settings/zone", data=form, headers={"Origin": origin}, **at_home)
        assert response.status_code == status, origin


def test_a_browser_that_says_nothing_of_the_origin_may_still_use_forms(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    assert kitchen.client.post(f"/bakes/{bake_id}/drop", data={"csrf_token": kitchen.token()}).status_code == 303


def test_a_token_is_good_after_a_night(kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch) -> None:
    bake_id = kitchen.has_a_bake()
    token = kitchen.token()
    import time

    now = time.time()
    monkeypatch.setattr(time, "time", lambda: now + 20 * 3600)
    response = kitchen.client.post(f"/bakes/{bake_id}/drop", data={"csrf_token": token}, headers=SAME)
    assert response.status_code == 303


@pytest.mark.parametrize("place", ["3", "-1", "", "x", "0 "])
def test_an_offer_that_is_not_there_cannot_be_picked(kitchen: InKitchen, place: str) -> None:
    bake_id = kitchen.plans()
    assert kitchen.posts(f"/bakes/{bake_id}/pick", {"place": place}).status_code == 404


def test_picking_another_day_makes_the_next_revision_and_picking_it_again_none(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()

    def revision() -> int:
        answer = kitchen.get(f"/api/bakes/{bake_id}/events").json
        assert answer is not None
        return int(answer["revision"])

    assert revision() == 1
    kitchen.picks(bake_id, 0)
    assert revision() == 1
    kitchen.picks(bake_id, 2)
    assert revision() == 2
    assert kitchen.get(f"/bakes/{bake_id}?offers").text.count("/pick") == 3


def test_a_bake_can_be_planned_again_with_other_answers(phone: Callable[[], InKitchen]) -> None:
    ours, theirs = phone(), phone()
    bake_id = ours.has_a_bake()
    old = ours.get(f"/?again={bake_id}")  # where it was before the home page was the answer
    assert old.headers["Location"] == f"/plan?again={bake_id}"
    page = ours.get(old.headers["Location"]).text
    assert 'value="2026-11-25T19:30"' in page
    assert f'name="again" value="{bake_id}"' in page
    changed = ours.posts("/plan", ours.answers({"supper": "2026-11-25T20:30", "again": bake_id}))
    assert changed.headers["Location"] == f"/bakes/{bake_id}?offers=again"
    assert ours.get(changed.headers["Location"]).text.count("/pick") == 3
    assert "Put it in my calendar" in ours.get(f"/bakes/{bake_id}").text, "the picked plan holds until another is"
    theirs.get("/")
    assert theirs.get(f"/plan?again={bake_id}").status_code == 404
    assert theirs.posts("/plan", theirs.answers({"again": bake_id})).status_code == 404
    wrong = ours.posts("/plan", ours.answers({"supper": "", "again": bake_id}))
    assert f'name="again" value="{bake_id}"' in wrong.text


def test_a_bake_given_up_leaves_the_front_page_and_can_be_picked_again(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    assert kitchen.posts(f"/bakes/{bake_id}/drop").status_code == 303
    assert bake_id not in kitchen.get("/").text
    assert "You gave this bake up" in kitchen.get(f"/bakes/{bake_id}").text
    kitchen.picks(bake_id, 0)
    assert bake_id in kitchen.get("/").text


def test_a_forgotten_bake_is_gone(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    assert kitchen.posts(f"/bakes/{bake_id}/delete").status_code == 303
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 404


def test_the_page_for_the_fridge_door_shows_the_plan(kitchen: InKitchen) -> None:
    assert "Tray pizza for Wednesday" in kitchen.get(f"/bakes/{kitchen.has_a_bake()}/print").text


def test_a_page_that_is_not_there_says_so_kindly(kitchen: InKitchen) -> None:
    for path in ("/nowhere", "/bakes/none", "/bakes/none/print", "/larder/none", "/settings/people/9"):
        response = kitchen.get(path)
        assert response.status_code == 404, path
        assert "There is nothing here" in response.text, path


def test_a_wrong_verb_is_answered_with_the_right_ones(kitchen: InKitchen) -> None:
    response = kitchen.client.delete("/", headers=SAME)
    assert response.status_code == 405
    assert "GET" in response.headers["Allow"]


AT_HOME = ("localhost", "127.0.0.1:8080", "[::1]:8080", "192.168.1.20", "kitchen-box", "pi.local")
STRANGE = ("evil.example", "127.0.0.1.evil.example", "localhost.evil.example", "evil.example:80")


@pytest.mark.parametrize("host", AT_HOME)
def test_names_of_the_home_network_are_answered(kitchen: InKitchen, host: str) -> None:
    assert kitchen.get("/", base_url=f"http://{host}").status_code == 200


@pytest.mark.parametrize("host", STRANGE)
def test_a_strangers_name_for_this_machine_gets_nothing(kitchen: InKitchen, host: str) -> None:
    response = kitchen.get("/", base_url=f"http://{host}")
    assert response.status_code == 421
    assert "Set-Cookie" not in response.headers


@pytest.mark.parametrize("host", ["", "a b", "[", "..", "x" * 300])
def test_a_host_that_is_no_name_breaks_nothing(kitchen: InKitchen, host: str) -> None:
    assert kitchen.client.get("/health", headers={"Host": host}).status_code in (200, 400, 421)


def test_the_names_in_the_settings_are_answered(settings: Settings) -> None:
    named = Settings(settings.data, public_url="https://bread.example", trusted_hosts=("also.example",))
    client = create_app(named).test_client()
    assert client.get("/health", base_url="https://bread.example").status_code == 200
    assert client.get("/health", base_url="http://also.example:8080").status_code == 200
    assert client.get("/health", base_url="http://other.example").status_code == 421


def test_behind_a_proxy_its_word_is_taken_and_without_one_it_is_not(settings: Settings) -> None:
    said = {"X-Forwarded-Proto": "https", "X-Forwarded-Host": "localhost"}
    behind = create_app(Settings(settings.data, proxies=1)).test_client().get("/", headers=said)
    alone = create_app(settings).test_client().get("/", headers=said)
    assert all("Secure" in one for one in behind.headers.getlist("Set-Cookie"))
    assert not any("Secure" in one for one in alone.headers.getlist("Set-Cookie"))


def test_health_is_short_and_makes_no_kitchen(kitchen: InKitchen) -> None:
    response = kitchen.get("/health")
    assert response.json == {"ok": True}
    assert "Set-Cookie" not in response.headers


def test_the_secret_is_made_once_and_is_its_owners_alone(settings: Settings) -> None:
    first, second = create_app(settings), create_app(settings)
    assert first.secret_key == second.secret_key
    assert (settings.data / "session.key").stat().st_mode & 0o777 == 0o600
    assert len((settings.data / "session.key").read_bytes()) == 32


@pytest.mark.parametrize("place", [0, 1])
def test_the_day_that_was_taken_shows_why_the_others_were_not(settings: Settings, place: int) -> None:
    """With the planner of the app: the other days are named, with what the planner has against each."""
    app = create_app(settings, now=lambda: NOW)
    kitchen = InKitchen(app.test_client())
    bake_id = kitchen.plans({"supper": "2026-11-26T20:30"})
    offers = html.unescape(kitchen.get(f"/bakes/{bake_id}").text)
    against = re.findall(r"<li>([^<]+)</li>", offers.split("Why it is not first")[1].split("</details>")[0])
    kitchen.picks(bake_id, place)
    page = html.unescape(kitchen.get(f"/bakes/{bake_id}").text)
    said = page.split("Why not one of the other ways?")[1].split("</details>")[0]
    assert len(re.findall("<strong>", said)) == 2
    assert against
    assert all(why in said for why in against)
    assert ("it fits your hours best" in said) == (place > 0)


@pytest.mark.parametrize("page", ["", "/change", "?offers", "/print"])
def test_the_rail_says_that_a_bake_belongs_to_the_plan(kitchen: InKitchen, page: str) -> None:
    text = kitchen.get(f"/bakes/{kitchen.has_a_bake()}{page}").text
    assert re.findall(r'<a href="(/[a-z]*)" aria-current="page">', text) == ["/"]


def test_paper_has_what_is_done_at_the_time_at_which_it_was_done_as_the_page_has(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))  # mixed at 07:30; planned from 07:15 on
    page, paper = (kitchen.get(f"/bakes/{bake_id}{part}").text for part in ("", "/print"))
    assert re.search(r'step-row__time"[^>]*>07:30<', page)
    assert re.search(r'sheet__time">07:30</td><th scope="row"><strong>Mix the dough', paper)


def test_paper_says_that_nothing_stays_folded_on_it(kitchen: InKitchen) -> None:
    text = kitchen.get(f"/bakes/{kitchen.has_a_bake()}/print").text
    assert "What is folded here stands open on paper." in text
    assert all("open" in one for one in re.findall(r'<details class="sheet__fold"[^>]*>', text)), "also with no script"


@pytest.mark.parametrize("page", ["", "/print"])
def test_what_this_kitchen_avoids_is_pointed_out_on_the_bake_and_on_paper(kitchen: InKitchen, page: str) -> None:
    bake_id = kitchen.has_a_bake()  # cheese on top: milk is in it, mustard is not
    assert "You asked to be told" not in kitchen.get(f"/bakes/{bake_id}{page}").text
    change_kitchen(kitchen.store, kitchen.kitchen_id(), lambda home: replace(home, avoid=("milk", "mustard")))
    said = re.search(r"You asked to be told: ([^.<]*)\.", kitchen.get(f"/bakes/{bake_id}{page}").text)
    assert said
    assert said[1] == "milk"


# 28.349523125 g to the ounce (international agreement of 1959).
def test_in_a_kitchen_of_ounces_the_grams_stand_beside_on_the_page_and_on_paper(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    in_grams = kitchen.get(f"/bakes/{bake_id}").text
    change_kitchen(kitchen.store, kitchen.kitchen_id(), lambda old: replace(old, mass_unit="oz"))
    for address in (f"/bakes/{bake_id}", f"/bakes/{bake_id}/print"):
        text = kitchen.get(address).text.replace("\u00a0", " ")
        beside = re.findall(r"([\d.]+) oz ?<span class=\"[a-z_]+\">([\d.]+) g</span>", text)
        assert len(beside) >= 4, address
        off = (abs(float(oz) * 28.349523125 - float(g)) for oz, g in beside)
        assert max(off) <= 0.5 + 0.025 * 28.35, "half a gram, half a step of an ounce scale"
    assert " oz" not in in_grams.replace("\u00a0", " ")
