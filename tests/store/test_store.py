"""The store: transactions, migrations, and one kitchen never seeing another."""

from __future__ import annotations

import stat
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import select
from sqlalchemy.exc import DBAPIError, IntegrityError

from tests.samples import sample_kitchen, sample_plan
from webapp.records import to_plain
from webapp.store.schema.scripts import statements
from webapp.store.schema.tables import TABLES
from webapp.store.store import Store


@pytest.fixture
def store(database: Path | str) -> Store:
    store = Store(database)
    for kitchen_id in ("ours", "theirs"):
        store.add_kitchen(kitchen_id, to_plain(sample_kitchen()), 1)
        store.add_phone(kitchen_id, f"{kitchen_id}-phone", f"{kitchen_id}-hash", "Phone 1", 1)
    return store


def planned(store: Store, kitchen_id: str = "ours", bake_id: str = "bake", now: int = 10) -> None:
    store.put_offers(kitchen_id, bake_id, {"formula_key": bake_id}, [to_plain(sample_plan(bake_id))], now)


def event(event_id: str, at: int = 5, **more: object) -> dict[str, object]:
    return {"event_id": event_id, "at": at, "kind": "note", **more}


def test_the_file_can_be_read_by_its_owner_only(tmp_path: Path) -> None:
    store = Store(tmp_path / "deep" / "down" / "s.sqlite3")
    assert stat.S_IMODE(store.path.stat().st_mode) == 0o600


def test_opening_again_keeps_everything(store: Store) -> None:
    planned(store)
    again = Store(store.where)
    assert again.bake("ours", "bake") == store.bake("ours", "bake")
    assert again.check()


def test_a_semicolon_in_a_text_or_remark_splits_no_statement() -> None:
    sql = "-- one; two\nINSERT INTO a VALUES ('x;\ny');\nCREATE TABLE b (c); -- end; really\n"
    assert next(statements(sql)).strip().endswith("'x;\ny');")


def test_a_transaction_is_all_or_nothing(store: Store) -> None:
    def breaks_after_writing() -> None:
        with store.transaction():
            planned(store)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        breaks_after_writing()
    assert store.bake("ours", "bake") is None


def test_a_view_is_one_moment_and_takes_no_writing(store: Store) -> None:
    with store.reading():
        assert store.bake("ours", "bake") is None
        elsewhere = threading.Thread(target=planned, args=(store,))
        elsewhere.start()
        elsewhere.join()
        assert store.bake("ours", "bake") is None
        with pytest.raises(DBAPIError, match=r"read-?only"):
            planned(store, bake_id="second")
    assert store.bake("ours", "bake") is not None


def test_many_threads_write_and_nothing_is_lost(store: Store) -> None:
    planned(store)

    def write(thread: int) -> None:
        for number in range(10):
            store.add_events("ours", "bake", [event(f"{thread}-{number}"), event("shared")], 20)

    threads = [threading.Thread(target=write, args=(i,)) for i in range(6)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert store.count_events("bake") == 61


def test_an_event_written_twice_stays_as_it_was_first(store: Store) -> None:
    planned(store)
    assert store.add_events("ours", "bake", [event("a", text="first"), event("a", text="second")], 20) == 1
    assert store.add_events("ours", "bake", [event("a", text="third")], 21) == 0
    assert [one["text"] for one in store.events("ours", "bake")] == ["first"]


def test_the_journal_has_one_order_whoever_sent_what_first(store: Store) -> None:
    planned(store)
    store.add_events("ours", "bake", [event("b", 7), event("c", 5)], 20)
    store.add_events("ours", "bake", [event("a", 7)], 21)
    assert [one["event_id"] for one in store.events("ours", "bake")] == ["c", "a", "b"]


def test_a_repeated_send_does_not_count_as_a_change(store: Store) -> None:
    planned(store)
    store.add_events("ours", "bake", [event("a")], 20)
    store.add_events("ours", "bake", [event("a")], 30)
    row = store.bake("ours", "bake")
    assert row is not None
    assert row.changed_at == 20


def test_another_kitchens_bake_is_not_there(store: Store) -> None:
    planned(store)
    assert store.bake("theirs", "bake") is None
    assert store.events("theirs", "bake") == ()
    assert store.picked("theirs") == ()
    assert not store.drop_bake("theirs", "bake", 20)
    assert not store.delete_bake("theirs", "bake")
    for write in (
        lambda: store.add_events("theirs", "bake", [event("a")], 20),
        lambda: store.add_plan("theirs", "bake", to_plain(sample_plan("bake")), 20),
        lambda: store.put_offers("theirs", "bake", {}, [], 20),
    ):
        with pytest.raises(LookupError):
            write()
    row = store.bake("ours", "bake")
    assert row is not None
    assert row.wish == {"formula_key": "bake"}


def test_revisions_go_up_by_one_and_none_is_lost(store: Store) -> None:
    planned(store)
    plan = to_plain(sample_plan("bake"))
    store.add_plan("ours", "bake", plan, 20)
    with pytest.raises(IntegrityError):
        store.add_plan("ours", "bake", plan, 21)
    store.add_plan("ours", "bake", plan | {"revision": 2, "title": "Later"}, 22)
    assert [one["plan"]["revision"] for one in store.revisions("bake")] == [1, 2]
    row = store.bake("ours", "bake")
    assert row is not None
    assert row.plan is not None
    assert row.plan["title"] == "Later"
    assert [(one.revision, one.title) for one in store.picked("ours")] == [(2, "Later")]


def test_the_last_wish_is_the_one_made_last_not_the_bake_touched_last(store: Store) -> None:
    planned(store, bake_id="monday", now=10)
    planned(store, bake_id="tuesday", now=20)
    store.add_events("ours", "monday", [event("a")], 30)
    assert store.last_wish("ours") == {"formula_key": "tuesday"}
    assert store.last_wish("theirs") is None


def test_coming_bakes_are_asked_for_by_supper(store: Store) -> None:
    early, late = sample_plan("early"), replace(sample_plan("late"), supper=sample_plan().supper + 86400)
    for plan in (late, early):
        planned(store, bake_id=plan.bake_id)
        store.add_plan("ours", plan.bake_id, to_plain(plan), 20)
    assert [row.bake_id for row in store.picked("ours")] == ["early", "late"]
    assert [row.bake_id for row in store.picked("ours", newest_first=True)] == ["late", "early"]
    assert [row.bake_id for row in store.picked("ours", since=early.supper + 1)] == ["late"]
    assert [row.bake_id for row in store.picked("ours", until=late.supper)] == ["early"]
    assert [row.bake_id for row in store.picked("ours", most=1)] == ["early"]
    store.drop_bake("ours", "early", 30)
    assert [row.bake_id for row in store.picked("ours", held=True, most=1)] == ["late"], "one given up takes no place"


def test_deleting_a_kitchen_takes_everything_of_it_and_nothing_else(store: Store) -> None:
    for kitchen_id in ("ours", "theirs"):
        planned(store, kitchen_id, f"{kitchen_id}-bake")
        store.add_plan(kitchen_id, f"{kitchen_id}-bake", to_plain(sample_plan()), 20)
        store.add_events(kitchen_id, f"{kitchen_id}-bake", [event("a")], 20)
        store.put_in_larder(kitchen_id, "formula", "own", {"a": 1}, 20)
        store.set_busy(kitchen_id, [(1, 2)])
        store.add_join_code(kitchen_id, f"{kitchen_id}-code", 99)
    store.delete_kitchen("ours")
    with store.reading() as db:
        for table in TABLES.sorted_tables:
            left = db.execute(select(table)).all()
            assert not [row for row in left if {"ours", "ours-bake", "ours-phone"} & set(row)], table
    assert store.guest("theirs-hash") is not None
    assert store.bake("theirs", "theirs-bake") is not None


def test_a_join_code_opens_once_and_in_time_only(store: Store) -> None:
    store.add_join_code("ours", "code", 100)
    assert store.join_code_opens("code", 99)
    assert not store.join_code_opens("code", 100)
    assert store.take_join_code("code", 99) == "ours"
    assert store.take_join_code("code", 99) is None
    store.add_join_code("ours", "old", 100)
    assert store.take_join_code("old", 100) is None


def test_a_new_code_makes_the_one_before_it_useless(store: Store) -> None:
    store.add_join_code("ours", "first", 100)
    store.add_join_code("ours", "second", 100)
    store.add_join_code("theirs", "third", 100)
    assert [bool(store.join_code_opens(code, 50)) for code in ("first", "second", "third")] == [False, True, True]


def test_the_sweep_drops_only_what_was_never_used(store: Store) -> None:
    planned(store)  # "ours" has a bake; "theirs" has nothing
    store.add_kitchen("cook", to_plain(sample_kitchen()), 1)
    store.put_in_larder("cook", "formula", "own", {"a": 1}, 1)
    store.add_kitchen("visited", to_plain(sample_kitchen()), 1)
    store.add_phone("visited", "v", "v-hash", "Phone 1", 1)
    store.saw_phone("v", 60)
    assert store.sweep(50) == 1
    assert store.settings_of("theirs") is None
    assert all(store.settings_of(kitchen_id) for kitchen_id in ("ours", "cook", "visited"))


def test_every_version_on_the_shelf_is_kept_and_putting_away_hides(store: Store) -> None:
    assert [store.put_in_larder("ours", "formula", "own", {"v": n}, n) for n in (1, 2)] == [1, 2]
    assert [row.body for row in store.in_larder("ours", "formula")] == [{"v": 2}]
    assert [row.version for row in store.versions("ours", "formula", "own")] == [2, 1]
    assert store.in_larder("theirs", "formula") == ()
    assert not store.put_away("theirs", "formula", "own")
    assert store.put_away("ours", "formula", "own")
    assert not store.put_away("ours", "formula", "own")
    assert store.in_larder("ours", "formula") == ()
    assert store.larder_keys("ours", "formula") == ("own",)
    store.put_in_larder("ours", "formula", "own", {"v": 3}, 3)
    assert [row.version for row in store.in_larder("ours", "formula")] == [3]


def test_who_leaves_takes_their_busy_stretches_along_and_the_others_keep_theirs(store: Store) -> None:
    for person in reversed(range(4)):
        store.set_busy("ours", [(person + 1, 9), (20, 30)], person)
    store.person_left("ours", 1)
    left = [store.busy("ours", person=person) for person in range(4)]
    assert left == [((1, 9), (20, 30)), ((3, 9), (20, 30)), ((4, 9), (20, 30)), ()]


def test_busy_stretches_are_replaced_as_a_whole(store: Store) -> None:
    store.set_busy("ours", [(30, 40), (10, 20), (10, 20)])
    assert store.busy("ours") == ((10, 20), (30, 40))
    assert store.busy("ours", since=20) == ((30, 40),)
    store.set_busy("ours", [(50, 60)], person=1)
    assert store.busy("ours") == ((10, 20), (30, 40))
    assert store.busy("ours", person=1) == ((50, 60),)
    store.set_busy("ours", [])
    assert store.busy("ours") == ()


def test_bakes_that_teach_have_a_plan_and_something_seen(store: Store) -> None:
    for bake_id in ("glass", "silent", "unpicked"):
        planned(store, bake_id=bake_id)
    for bake_id in ("glass", "silent"):
        store.add_plan("ours", bake_id, to_plain(sample_plan(bake_id)), 20)
    for bake_id in ("glass", "unpicked"):
        store.add_events("ours", bake_id, [event("g", 50) | {"kind": "glass"}], 60)
    assert store.bakes_that_teach("ours", 0, 9) == ("glass",)
    assert store.bakes_that_teach("ours", 51, 9) == ()
    assert store.bakes_that_teach("theirs", 0, 9) == ()


def test_a_nul_in_a_name_is_taken_by_either(store: Store) -> None:
    """Where text holds none, it is left out: https://www.postgresql.org/docs/current/datatype-character.html"""
    assert store.rename_phone("ours", "ours-phone", "Ha\0ll")
    assert store.phones("ours")[0].name.replace("\0", "") == "Hall"


def test_names_are_sorted_by_their_bytes(store: Store) -> None:
    """As SQLite does, https://www.sqlite.org/datatype3.html#collation: capitals before small letters."""
    for key in ("b", "a", "B", "_"):
        store.put_in_larder("ours", "formula", key, {}, 1)
    assert store.larder_keys("ours", "formula") == ("B", "_", "a", "b")
