"""The history of calendar events, and the feed that shows them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.databases import everything_in
from tests.home import Home
from tests.reminders.test_ics_readers import READERS
from tests.samples import at, sample_plan
from webapp.core.errors import PlanError
from webapp.core.kitchen import Person
from webapp.kitchens.access import change_kitchen
from webapp.machine.secretbox import SecretBox, UnreadableError
from webapp.reminders.coming_home import is_homecoming
from webapp.reminders.events import (
    Feed,
    KeptFeeds,
    bake_file,
    end_feed,
    entries,
    feed,
    feed_state,
    kept_since,
    new_feed,
    ring_soon,
    set_alarms,
    step_file,
)
from webapp.reminders.heard import last_heard
from webapp.reminders.ics import TEXT_MARK, Entry, text_mark
from webapp.reminders.names import with_history
from webapp.store.ids import NotHere

ORIGIN = "https://suppertide.example"


def shown(home: Home) -> dict[str, Entry]:
    return {e.step_id: e for e in entries(home.store, home.now, home.kitchen_id)}


def fetch(home: Home, kept: KeptFeeds | None = None, key: str = "key") -> Feed:
    return feed(home.store, kept or KeptFeeds(), home.now, key, ORIGIN)


def test_a_new_plan_shows_as_plannedwith_history_zero(home: Home) -> None:
    plan = home.plan()
    now = shown(home)
    assert [(s.step_id, s.start) for s in plan.steps] == [(e.step_id, e.start) for e in now.values()]
    assert {e.sequence for e in now.values()} == {0}
    assert {e.changed_at for e in now.values()} == {home.now}


def test_only_what_moved_gets_a_new_sequence_and_the_time_of_the_change(home: Home) -> None:
    plan = home.plan()
    before = shown(home)
    home.now += 600
    home.later(plan, "serve", 300)
    after = shown(home)
    assert (after["serve"].sequence, after["serve"].changed_at) == (1, home.now)
    assert after["serve"].start == before["serve"].start + 300
    assert {k: v for k, v in after.items() if k != "serve"} == {k: v for k, v in before.items() if k != "serve"}


def test_what_was_done_is_one_event_when_another_step_leads_it_from_then_on(home: Home) -> None:
    """Two steps at one minute: pressed out with no connection, it is told of in the event of the other one."""
    press = Entry("press@suppertide", "press", at(18, 17), at(18, 27), "Press out", "", "/", home.now, also=("out",))
    (held,) = with_history("bake", (press,), {}, home.now)
    out = replace(press, uid="out@suppertide", step_id="out", title="Out of the warm spot", also=("press",))
    rows = with_history("bake", (out,), {"press": held}, at(20))
    assert [(row.step_id, row.entry["cancelled"]) for row in rows] == [("out", False), ("press", True)]
    assert rows[1].sequence == held.sequence + 1
    alone = with_history("bake", (replace(out, also=()),), {"press": held}, at(20))
    assert [row.entry["cancelled"] for row in alone] == [False, False], "what is over and told nowhere else stays"


def test_every_further_change_counts_one_further(home: Home) -> None:
    plan = home.plan()
    shown(home)
    for turn in range(1, 5):
        plan = home.later(plan, "mix", 60)
        assert shown(home)["mix"].sequence == turn


def test_an_unchanged_plan_is_the_same_bytes_however_much_time_passes(home: Home) -> None:
    plan = home.plan()
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    first = fetch(home)
    file = bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN)
    for hours in (1, 5, 11):
        home.now = at(6, 55) + hours * 3600
        assert fetch(home) == first
        assert bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN) == file


def test_picking_the_same_plan_again_changes_no_byte(home: Home) -> None:
    plan = home.plan()
    before = bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN)
    home.now += 60
    home.plan(replace(plan, made_at=home.now))
    assert bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN) == before


def test_a_step_done_late_moves_to_its_true_time_and_loses_its_alarm(home: Home) -> None:
    plan = home.plan()
    shown(home)
    home.did(plan, "done", at(7, 50), step_id="mix")
    mix = shown(home)["mix"]
    assert (mix.end, mix.alarm_min, mix.sequence) == (at(7, 50), -1, 1)


def test_a_journal_line_that_changes_nothing_shown_changes_no_byte(home: Home) -> None:
    plan = home.plan()
    before = bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN)
    home.did(plan, "note", at(6, 56), text="smells of yeast")
    assert bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN) == before


def test_another_pan_is_said_where_amounts_are_listed_and_where_the_pan_is_named(home: Home) -> None:
    plan = home.plan()
    home.did(plan, "pan", at(6, 57), area_cm2=615.8)
    said = {e.step_id for e in shown(home).values() if "Another pan was chosen" in e.text}
    assert said == {"mix", "press", "top"}


def test_a_later_supper_moves_the_steps_ahead_and_not_those_behind(home: Home) -> None:
    plan = home.plan()
    home.did(plan, "done", at(7, 30), step_id="mix")
    before = shown(home)
    home.did(plan, "later", at(16, 30), until=at(18, 0))
    after = shown(home)
    assert after["mix"] == before["mix"]
    assert after["press"].start >= at(18, 0)
    assert after["load"].start > before["load"].start
    assert after["load"].sequence == before["load"].sequence + 1


def test_a_step_gone_from_the_plan_is_called_off_with_the_next_sequence(home: Home) -> None:
    plan = home.plan()
    shown(home)
    home.now += 60
    home.without(plan, "check")
    check = shown(home)["check"]
    assert (check.cancelled, check.sequence, check.alarm_min) == (True, 1, -1)
    home.now += 60
    home.plan(plan)
    assert (shown(home)["check"].cancelled, shown(home)["check"].sequence) == (False, 2)


def test_a_dropped_bake_is_called_off_everywhere(home: Home) -> None:
    plan = home.plan()
    shown(home)
    home.drop(plan)
    assert all(e.cancelled and e.sequence == 1 for e in shown(home).values())
    data = bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN)
    assert data.count(b"STATUS:CANCELLED") == len(plan.steps)


def test_a_line_from_the_future_counts_as_now(home: Home) -> None:
    plan = home.plan()
    assert last_heard(plan, (), home.now) == plan.made_at
    home.did(plan, "note", home.now, text="x")
    later = replace(plan, made_at=home.now + 99)
    assert last_heard(later, (), home.now) == home.now


def test_the_persons_own_minutes_reach_every_event_of_that_kind(home: Home) -> None:
    home.plan()
    assert shown(home)["mix"].alarm_min == 10
    set_alarms(home.store, home.kitchen_id, {"mix": 30, "load": -1, "press": None})
    now = shown(home)
    assert (now["mix"].alarm_min, now["load"].alarm_min, now["press"].alarm_min) == (30, -1, 5)
    assert (now["mix"].sequence, now["press"].sequence) == (1, 0)
    set_alarms(home.store, home.kitchen_id, {"mix": None})
    assert shown(home)["mix"].alarm_min == 10
    assert shown(home)["load"].alarm_min == -1


def test_all_minutes_that_are_out_of_reach_are_named_at_once(home: Home) -> None:
    with pytest.raises(PlanError) as caught:
        set_alarms(home.store, home.kitchen_id, {"mix": 2000, "load": -5, "press": 5})
    assert {p.field for p in caught.value.problems} == {"alarm-mix", "alarm-load"}
    assert not shown(home)


def test_a_step_file_is_one_event_and_unknown_steps_are_not_here(home: Home) -> None:
    plan = home.plan()
    data = step_file(home.store, home.now, home.kitchen_id, plan.bake_id, "preheat", ORIGIN)
    assert data.count(b"BEGIN:VEVENT") == 1
    assert b"SUMMARY:Light the oven" in data
    with pytest.raises(NotHere):
        step_file(home.store, home.now, home.kitchen_id, plan.bake_id, "nope", ORIGIN)


def test_another_kitchens_bake_is_not_here(home: Home) -> None:
    plan = home.plan()
    for kitchen_id, bake_id in (("other", plan.bake_id), (home.kitchen_id, "nope")):
        with pytest.raises(NotHere):
            bake_file(home.store, home.now, kitchen_id, bake_id, ORIGIN)


def test_an_old_bake_still_has_its_file_but_is_not_in_the_feed(home: Home) -> None:
    plan = home.plan()
    home.now += 40 * 86400
    assert not shown(home)
    assert b"SUMMARY:Mix the dough" in bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, ORIGIN)


# -- the feed


def test_the_feed_holds_every_bake_and_three_readers_agree(home: Home) -> None:
    home.plan()
    home.plan(replace(sample_plan("c" * 22), title="Second"))
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    body = fetch(home).body
    readings = [reader(body) for reader in READERS]
    assert len(readings[0]) == 2 * len(sample_plan().steps)
    assert readings[0] == readings[1] == readings[2]


def test_the_feed_follows_and_its_tag_changes_with_its_bytes_only(home: Home) -> None:
    plan = home.plan()
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    kept = KeptFeeds()
    first = fetch(home, kept)
    assert fetch(home, kept) is first, "kept, not composed again"
    home.did(plan, "done", at(7, 30), step_id="mix")
    second = fetch(home, kept)
    assert second.etag != first.etag
    assert second.body != first.body


def test_an_empty_feed_is_still_a_calendar(home: Home) -> None:
    """RFC 5545 3.4 asks for at least one component."""
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    for reader in READERS:
        assert len(reader(fetch(home).body)) == 1


def test_unknown_revoked_and_replaced_keys_are_all_not_here(home: Home) -> None:
    home.plan()
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    kept = KeptFeeds()
    fetch(home, kept)
    new_feed(home.store, home.box, home.now, home.kitchen_id, "fresh")
    for key in ("key", "never", "", "x" * 5000):
        with pytest.raises(NotHere):
            fetch(home, kept, key)
    fetch(home, kept, "fresh")
    end_feed(home.store, home.kitchen_id)
    with pytest.raises(NotHere):
        fetch(home, kept, "fresh")


def test_the_address_can_be_shown_again_but_not_from_a_copy_of_the_database(home: Home, tmp_path: Path) -> None:
    new_feed(home.store, home.box, home.now, home.kitchen_id, "secret-key")
    assert feed_state(home.store, home.box, home.kitchen_id).key == "secret-key"
    assert "secret-key" not in everything_in(home.store)
    stranger = SecretBox(tmp_path / "elsewhere")
    assert feed_state(home.store, stranger, home.kitchen_id).key == ""


def test_the_page_learns_when_a_calendar_last_asked(home: Home) -> None:
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    assert feed_state(home.store, home.box, home.kitchen_id).read_at == 0
    fetch(home)
    first = home.now
    home.now += 1800
    fetch(home)
    assert feed_state(home.store, home.box, home.kitchen_id).read_at == first
    home.now += 3600
    fetch(home)
    assert feed_state(home.store, home.box, home.kitchen_id).read_at == home.now


def test_the_kept_feeds_are_never_more_than_it_may() -> None:
    kept = KeptFeeds(most=3)
    for number in range(10):
        kept.put(str(number), 1, Feed(b"", ""))
    assert [n for n in range(10) if kept.get(str(n), 1)] == [7, 8, 9]
    assert kept.get("9", 2) is None


def test_a_test_ring_is_at_a_whole_minute_between_one_and_two_minutes_away() -> None:
    for second in range(60):
        ring = ring_soon(at(6, 55) + second, "id")
        assert ring.start % 60 == 0
        assert 60 <= ring.start - (at(6, 55) + second) < 120
        assert ring.alarm_min == 0


def test_a_sealed_text_opens_only_with_the_key_that_sealed_it(tmp_path: Path) -> None:
    sealed = SecretBox(tmp_path / "a").seal("tomato")
    assert SecretBox(tmp_path / "a").open(sealed) == "tomato"
    assert "tomato" not in sealed
    with pytest.raises(UnreadableError):
        SecretBox(tmp_path / "b").open(sealed)
    assert (tmp_path / "a" / "secretbox.key").stat().st_mode & 0o077 == 0


def test_links_hold_neither_key_nor_name(home: Home) -> None:
    home.plan()
    new_feed(home.store, home.box, home.now, home.kitchen_id, "secret-key")
    text = fetch(home, key="secret-key").body.decode()
    assert "secret-key" not in text
    assert home.kitchen_id not in text
    assert set(re.findall(r"URL:(https://[^/]+)/", text)) == {ORIGIN}


def test_a_bake_leaves_the_calendars_at_one_moment_of_the_day_and_a_fortnight_later() -> None:
    """What a feed holds changes once a day, so that its bytes and its ETag do not change with every minute."""
    day = 86400
    midnight = at(0) // day * day
    assert len({kept_since(midnight + s) for s in range(0, day, 600)}) == 1
    assert kept_since(midnight + day) - kept_since(midnight) == day
    assert midnight - kept_since(midnight) == 14 * day


def in_a_house_of_two(home: Home) -> None:
    """Ann mixes, Bo presses, whoever is there bakes."""
    change_kitchen(home.store, home.kitchen_id, lambda old: replace(old, people=(Person("Ann"), Person("Bo"))))
    whose = {"mix": ("Ann",), "press": ("Bo",)}
    plan = sample_plan("p" * 22)
    home.plan(replace(plan, steps=tuple(replace(one, who=whose.get(one.kind, ())) for one in plan.steps)))


def test_one_persons_feed_has_what_suits_them_and_what_whoever_is_there_can_do(home: Home) -> None:
    in_a_house_of_two(home)
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    feeds = (feed(home.store, KeptFeeds(), home.now, "key", ORIGIN, one) for one in ("", "Ann", "Bo"))
    whole, ann, bo = (one.body.decode() for one in feeds)
    for words, has_ann, has_bo in (("Mix the dough", True, False), ("Press into", False, True), ("Load", True, True)):
        summary = re.compile(rf"^SUMMARY:[^\r\n]*{words}", re.MULTILINE | re.IGNORECASE)
        assert summary.search(whole), words
        assert bool(summary.search(ann)) is has_ann, words
        assert bool(summary.search(bo)) is has_bo, words
    assert "X-WR-CALNAME:Suppertide: Bo" in bo.replace("\\:", ":")
    for uid in re.findall(r"^UID:.*$", ann, re.MULTILINE):
        assert uid in whole, "the same event by the same name"
    with pytest.raises(NotHere):
        feed(home.store, KeptFeeds(), home.now, "key", ORIGIN, "Cy")


def test_an_event_carries_the_marks_of_the_texts_that_it_had_the_last_one_first_and_not_without_end(home: Home) -> None:
    plan = home.plan()
    texts = [shown(home)["serve"].text]
    for number in range(12):
        home.now += 60
        plan = home.plan(replace(plan, formula_name=f"Dough {number}"))
        texts.insert(0, shown(home)["serve"].text)
    assert len(set(texts)) == 13
    marks = [text_mark(one) for one in texts]
    body = step_file(home.store, home.now, home.kitchen_id, plan.bake_id, "serve", ORIGIN).decode()
    said = re.sub(r"\r\n ", "", body)
    assert f"{TEXT_MARK}:{' '.join(marks[:9])}\r\n" in said


def test_an_event_that_was_kept_before_there_were_kinds_is_told_by_its_name() -> None:
    """What the version before this one wrote: no kind, and a name that it alone gives to a coming home."""
    assert is_homecoming("home", "anything")
    assert is_homecoming("", "home-20261126")
    assert not is_homecoming("", "homemade-sauce")
    assert not is_homecoming("step", "home-20261126")
