"""What is taken is the day that was seen: the page says which one it showed, and a form sent twice is one bake."""

from __future__ import annotations

import html
import re

import pytest
from werkzeug.test import TestResponse

from tests.web.conftest import InKitchen
from tests.web.seen import fields_of
from webapp.planning import evenings

FULL = "This kitchen has 1 bakes still to come, as many as it looks after. Give one of them up"


def seen(kitchen: InKitchen, bake_id: str) -> list[str]:
    """What the forms of the offers' page say that they show."""
    return re.findall(r'name="seen" value="([0-9a-f]{64})"', kitchen.get(f"/bakes/{bake_id}?offers").text)


def suppers(kitchen: InKitchen) -> list[int]:
    """Suppers of the picked bakes."""
    answer = kitchen.get("/api/bakes").json
    assert answer is not None
    return [row["supper"] for row in answer["bakes"]]


def plan_kitchen(kitchen: InKitchen) -> str:
    """The id of the kitchen."""
    with kitchen.store.reading() as db:
        return str(db.exec_driver_sql("SELECT kitchen_id FROM bakes").fetchone()[0])


def planned_again(kitchen: InKitchen, bake_id: str) -> None:
    """Another window asks for supper half an hour later: other plans take the places of those that were seen."""
    owner = plan_kitchen(kitchen)
    row = kitchen.store.bake(owner, bake_id)
    assert row is not None
    later = [{**plan, "supper": plan["supper"] + 1800} for plan in row.offers]
    kitchen.store.put_offers(owner, bake_id, row.wish, later, row.made_at + 60)


def test_a_day_that_was_changed_in_another_window_is_not_taken_and_the_change_is_shown(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    old = seen(kitchen, bake_id)
    assert len(old) == 3
    assert len(set(old)) == 3
    planned_again(kitchen, bake_id)
    answer = kitchen.posts(f"/bakes/{bake_id}/pick", {"place": "0", "seen": old[0]})
    assert answer.status_code == 409
    assert "not offered any more" in answer.text
    assert suppers(kitchen) == []
    shown = re.findall(r'name="seen" value="([0-9a-f]{64})"', answer.text)
    assert shown == seen(kitchen, bake_id) != old
    assert kitchen.posts(f"/bakes/{bake_id}/pick", {"place": "0", "seen": shown[0]}).status_code == 303
    assert len(suppers(kitchen)) == 1


def test_the_day_that_was_seen_is_taken_though_it_stands_at_another_place_now(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    third = seen(kitchen, bake_id)[2]
    assert kitchen.posts(f"/bakes/{bake_id}/pick", {"place": "0", "seen": third}).status_code == 303
    row = kitchen.store.bake(plan_kitchen(kitchen), bake_id)
    assert row is not None
    assert row.plan is not None
    assert row.plan["title"] == row.offers[2]["title"] != row.offers[0]["title"]


def test_an_old_page_that_does_not_say_what_it_showed_takes_nothing(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    assert kitchen.posts(f"/bakes/{bake_id}/pick", {"place": "0"}).status_code == 409
    assert suppers(kitchen) == []


def test_taking_a_day_twice_is_taking_it_once(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    first = seen(kitchen, bake_id)[0]
    for _ in range(2):
        assert kitchen.posts(f"/bakes/{bake_id}/pick", {"place": "0", "seen": first}).status_code == 303
    answer = kitchen.get(f"/api/bakes/{bake_id}/events").json
    assert answer is not None
    assert answer["revision"] == 1


def test_a_form_sent_twice_is_one_bake_and_with_other_answers_another(kitchen: InKitchen) -> None:
    form = re.search(r'name="once" value="([^"]+)"', kitchen.get("/plan").text)
    assert form
    answers = kitchen.answers({"once": form[1]})
    where = [kitchen.posts("/plan", answers).headers["Location"] for _ in range(2)]
    assert where[0] == where[1]
    other = kitchen.posts("/plan", answers | {"supper": "2026-11-25T20:30"}).headers["Location"]
    assert other != where[0]
    later = re.search(r'name="once" value="([^"]+)"', kitchen.get("/plan").text)
    assert later
    assert later[1] != form[1], "a form opened anew asks for a bake of its own"


@pytest.fixture
def full(kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch) -> str:
    """The only bake of a kitchen that has as many to come as its pages look at."""
    monkeypatch.setattr(evenings, "MOST_COMING", 1)
    return kitchen.has_a_bake()


def is_full(kitchen: InKitchen, sent: TestResponse, bake_id: str) -> bool:
    """Whether that is said, and nothing was taken."""
    [row] = kitchen.get("/api/bakes").json["bakes"]  # type: ignore[index]  # an answer
    return sent.status_code == 422 and FULL in html.unescape(sent.text) and row["bake_id"] == bake_id


def test_one_bake_more_than_pages_look_at_is_not_planned_and_all_that_was_typed_stays(
    kitchen: InKitchen, full: str
) -> None:
    sent = kitchen.posts("/plan", kitchen.answers(supper="2026-11-26T20:40", room="23.4"))
    assert is_full(kitchen, sent, full)
    assert 'value="23.4"' in sent.text
    assert "20:40" in sent.text
    assert len(kitchen.store.bake_ids(kitchen.kitchen_id())) == 1
    assert kitchen.posts("/plan", kitchen.answers(again=full)).status_code == 303, "the one there is may be changed"
    assert kitchen.picks(full, 1).status_code == 303
    kitchen.posts(f"/bakes/{full}/drop")
    assert kitchen.picks(kitchen.plans()).status_code == 303, "given up, it makes room"


def test_an_offer_of_one_bake_too_many_is_not_taken(kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch) -> None:
    one, other = kitchen.plans(), kitchen.plans({"supper": "2026-11-26T19:30"})
    monkeypatch.setattr(evenings, "MOST_COMING", 1)
    assert kitchen.picks(one).status_code == 303
    sent = kitchen.picks(other)
    assert is_full(kitchen, sent, one)
    assert 'name="seen"' in sent.text, "what was offered is still there"
    assert kitchen.picks(one, 1).status_code == 303, "another way of the one there is"


def test_the_day_of_the_home_page_is_not_taken_as_one_bake_too_many(kitchen: InKitchen, full: str) -> None:
    page = kitchen.get("/?supper=2026-11-26T20:40&room=23.4").text
    form = re.search(r'<form class="take".*?</form>', page, re.DOTALL)
    assert form
    sent = kitchen.posts("/take", fields_of(form[0]))
    assert is_full(kitchen, sent, full)
    assert "23.4" in sent.text
    assert len(kitchen.store.bake_ids(kitchen.kitchen_id())) == 1
