"""What is taken is the day that was seen: the page says which one it showed, and a form sent twice is one bake."""

from __future__ import annotations

import re

from tests.web.conftest import InKitchen


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
