"""A plan, a line of a journal, a kitchen's settings are read from what is kept once, and known again by their text."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.kitchen import Wish
from webapp.core.plan.event import Event
from webapp.kitchens import bakes, kept
from webapp.kitchens.access import change_kitchen, make_kitchen
from webapp.records import ShapeError, to_plain
from webapp.store.base import Group
from webapp.store.store import Store


def test_the_same_text_is_the_same_plan_and_another_text_another() -> None:
    plan = sample_plan("first")
    text = json.dumps(to_plain(plan))
    assert kept.plan_in(Group(text)) is kept.plan_in(Group(text))
    assert kept.plan_in(Group(text)) == kept.plan_in(json.loads(text))
    other = replace(plan, supper=plan.supper + 300)
    assert kept.plan_in(Group(json.dumps(to_plain(other)))) == kept.plan_in(to_plain(other))
    assert kept.plan_in(Group(json.dumps(to_plain(other)))).supper == plan.supper + 300


def test_what_cannot_be_read_is_refused_each_time() -> None:
    for _ in range(2):
        with pytest.raises(ShapeError):
            kept.plan_in(Group("{}"))
        assert kept.event_in(Group("damaged")) is None


def test_a_change_is_seen_at_once_by_the_kitchen_that_made_it_and_by_no_other(tmp_path: Path) -> None:
    store, ids = Store(tmp_path / "kitchens.db"), iter(f"id-{number}" for number in range(99))
    ours, theirs = (
        make_kitchen(store, at(8), lambda: next(ids), key * 43, sample_kitchen()).kitchen_id for key in ("a", "b")
    )
    kitchen = bakes.kitchen_of(store, ours)
    change_kitchen(store, ours, lambda known: replace(known, fridge_c=7.5))
    assert bakes.kitchen_of(store, ours).fridge_c == 7.5
    assert bakes.kitchen_of(store, theirs) == kitchen


def test_a_bake_stands_anew_with_each_line_and_each_instant(tmp_path: Path) -> None:
    store, ids = Store(tmp_path / "kitchens.db"), iter(f"id-{number}" for number in range(99))
    home = make_kitchen(store, at(8), lambda: next(ids), "a" * 43, sample_kitchen()).kitchen_id
    plan = sample_plan("first")
    wish = Wish("2026-11-25T19:30", plan.pans, plan.formula_key)
    store.put_offers(home, "first", to_plain(wish), [to_plain(plan)], at(8))
    picked = bakes.pick(store, at(8), home, "first", 0)
    first = picked.steps[0]
    stands = bakes.followed_bake(store, first.start, home, "first")
    assert stands == bakes.followed_bake(store, first.start, home, "first")
    late = bakes.followed_bake(store, first.start + 3600, home, "first")
    assert late.retimed.steps != stands.retimed.steps
    done = Event("a" * 32, "first", first.end, first.end, "phone", "done", {"step_id": first.step_id})
    bakes.add_to_journal(store, first.end, home, "first", [done])
    assert bakes.followed_bake(store, first.start + 3600, home, "first").events == (done,)
    assert bakes.followed_bake(store, first.start + 3600, home, "first").retimed != late.retimed
