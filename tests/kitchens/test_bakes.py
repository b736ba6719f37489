"""What a kitchen does with its bakes, without the web: picking, journal, learning, the demo, taking along."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.samples import at, sample_kitchen, sample_plan
from webapp.commands.demo import demo, demo_kitchen
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.weights import OtherYeast
from webapp.doughs import larder
from webapp.doughs import own as own_things
from webapp.doughs.own_kinds import FORMULAS, METHODS, TOPPINGS
from webapp.kitchens import access, bakes, kept
from webapp.kitchens import book as baking_book
from webapp.machine.settings import Settings
from webapp.planning import evenings
from webapp.planning.question import NOTHING_BOOKED, Booked
from webapp.records import to_plain
from webapp.store.ids import NotHere
from webapp.store.store import Store
from webapp.words.plan import weights
from webapp.words.stored_plans import upgraded

NOW = at(6, 50)
_numbers = itertools.count(1)


def new_id() -> str:
    return f"id-{next(_numbers)}"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "s.sqlite3")


@pytest.fixture
def kitchen_id(store: Store) -> str:
    return access.make_kitchen(store, NOW, new_id, "key", sample_kitchen()).kitchen_id


def planner(*_: object, bake_id: str = "") -> tuple[Plan, ...]:
    """`(wish, kitchen, now, bake_id, shelf, busy)`: always the sample."""
    return (sample_plan(str(_[3])), replace(sample_plan(str(_[3])), title="Another day"))


def a_bake(store: Store, kitchen_id: str, plan: Plan | None = None) -> Plan:
    """Planned and picked; `plan` instead of the sample."""
    wish = Wish("2026-11-25T19:30", sample_plan().pans, "bench-tray")
    if plan is None:
        bake_id = evenings.set_plan(store, NOW, new_id, kitchen_id, wish, planner)
        return bakes.pick(store, NOW, kitchen_id, bake_id, 0)
    store.put_offers(kitchen_id, plan.bake_id, to_plain(wish), [to_plain(plan)], NOW)
    return bakes.pick(store, NOW, kitchen_id, plan.bake_id, 0)


def event(bake_id: str, kind: str, when: int, **data: object) -> Event:
    return Event(f"{next(_numbers):032x}", bake_id, when, when, "p", kind, data)


# --- plans --------------------------------------------------------------------------------------------------------


def test_a_wish_that_cannot_be_met_leaves_nothing_behind(store: Store, kitchen_id: str) -> None:
    def refuses(*_: object) -> tuple[Plan, ...]:
        raise PlanError.at("supper", "supper-past")

    with pytest.raises(PlanError):
        evenings.set_plan(store, NOW, new_id, kitchen_id, Wish("x", (), "y"), refuses)
    assert store.bake_ids(kitchen_id) == ()
    assert bakes.last_wish(store, kitchen_id) is None


def test_a_new_wish_for_a_bake_keeps_what_was_picked_until_another_is(store: Store, kitchen_id: str) -> None:
    plan = a_bake(store, kitchen_id)
    later = Wish("2026-11-25T20:30", plan.pans, "oil-tray")
    evenings.set_plan(store, NOW + 60, new_id, kitchen_id, later, planner, plan.bake_id)
    held = bakes.bake(store, kitchen_id, plan.bake_id)
    assert held.wish == later
    assert held.plan == upgraded(plan)
    assert bakes.pick(store, NOW + 90, kitchen_id, plan.bake_id, 1).revision == 2
    with pytest.raises(NotHere):
        evenings.set_plan(store, NOW, new_id, "elsewhere", later, planner, plan.bake_id)


def test_journal_lines_for_a_bake_without_a_plan_have_no_place(store: Store, kitchen_id: str) -> None:
    wish = Wish("2026-11-25T19:30", sample_plan().pans, "bench-tray")
    bake_id = evenings.set_plan(store, NOW, new_id, kitchen_id, wish, planner)
    with pytest.raises(NotHere):
        bakes.add_to_journal(store, NOW, kitchen_id, bake_id, [event(bake_id, "note", NOW, text="x")])


def test_how_things_stand_is_the_fold_and_the_retiming_of_the_core(store: Store, kitchen_id: str) -> None:
    plan = a_bake(store, kitchen_id)
    done = event(plan.bake_id, "done", at(7, 50), step_id="mix")
    bakes.add_to_journal(store, NOW, kitchen_id, plan.bake_id, [done])
    stands = bakes.followed_bake(store, at(8), kitchen_id, plan.bake_id)
    assert stands.retimed == retime(plan, fold(plan, [done]), at(8))


def test_a_bake_forgotten_for_years_is_not_walked_to_this_day(store: Store, kitchen_id: str) -> None:
    plan = a_bake(store, kitchen_id)
    mixed = event(plan.bake_id, "done", at(7, 30), step_id="mix")
    bakes.add_to_journal(store, NOW, kitchen_id, plan.bake_id, [mixed])
    years_later = bakes.followed_bake(store, at(8) + 10 * 365 * 86400, kitchen_id, plan.bake_id)
    assert years_later.retimed.curve[-1].at < at(8) + 14 * 86400


def test_busy_stretches_and_what_was_learned_reach_the_planner(store: Store, kitchen_id: str) -> None:
    store.set_busy(kitchen_id, [(at(17), at(18)), (0, 5)])
    seen = []

    def looks(
        _: Wish, kitchen: Kitchen, now: int, bake_id: str, shelf: object, busy: Booked = NOTHING_BOOKED
    ) -> tuple[Plan, ...]:
        seen.append((kitchen.vigour_ln_sd, busy))
        return (sample_plan(bake_id),)

    evenings.set_plan(store, NOW, new_id, kitchen_id, Wish("2026-11-25T19:30", (), "bench-tray"), looks)
    ((sd, busy),) = seen
    assert sd == pytest.approx(math.hypot(0.33, 0.16))  # kitchens apart by 0.33, bakes by 0.16
    assert [(span.start, span.end) for mine in busy.people for span in mine] == [(at(17), at(18))]


# --- learning -----------------------------------------------------------------------------------------------------


def model_progress(plan: Plan, when: int) -> float:
    """Progress at that instant by the plan alone, read off its curve."""
    points = retime(plan, fold(plan, ()), plan.made_at).curve
    before, after = next((a, b) for a, b in itertools.pairwise(points) if a.at <= when <= b.at)
    return before.progress + (after.progress - before.progress) * (when - before.at) / (after.at - before.at)


def glass_times(plan: Plan, when: int, quicker: float) -> float:
    """How the glass stands when this kitchen's dough is `quicker` than the plan's: P = E ** 0.75."""
    return float(1.0 + (model_progress(plan, when) * quicker) ** (1 / 0.75))


def test_one_mark_on_the_glass_teaches_as_much_as_its_reading_is_sure(store: Store, kitchen_id: str) -> None:
    plan = a_bake(store, kitchen_id)
    quicker = math.exp(0.3)
    times = glass_times(plan, at(14), quicker)
    bakes.add_to_journal(store, at(14), kitchen_id, plan.bake_id, [event(plan.bake_id, "glass", at(14), times=times)])
    taught = baking_book.taught(store, at(14), kitchen_id)
    # Precisions add (any statistics textbook): the kitchen's 0.33; the mark errs by a bake's 0.15, by the glass's 0.12
    # and the line's 3 % of the first height; its weight is that of a t of 4 degrees, 5 / (4 + z^2), z from the answer.
    var = 0.15**2 + 0.12**2 + (0.75 * 0.03 / (times - 1.0)) ** 2
    mean = taught.kitchen.vigour_ln_mean
    weight = 5 / (4 + (0.3 - mean) ** 2 / var) / var
    assert mean == pytest.approx(0.3 * weight / (1 / 0.33**2 + weight), abs=0.01)  # the scatter moves a little too
    assert 0.15 < taught.kitchen.vigour_ln_sd < 0.23
    (lesson,) = taught.lessons
    assert lesson.quicker == pytest.approx(quicker, rel=5e-3)  # the curve is read between points 15 minutes apart
    assert lesson.bake_id == plan.bake_id


def test_a_bake_as_planned_in_a_learned_kitchen_confirms_what_was_learned(store: Store, kitchen_id: str) -> None:
    rates = tuple(rate * math.exp(0.2) for rate in sample_plan().rise.table.rates)
    table = replace(sample_plan().rise.table, rates=rates)
    quick = replace(sample_plan("quick"), rise=replace(sample_plan().rise, table=table), vigour_ln_mean=0.2)
    plan = a_bake(store, kitchen_id, quick)
    mark = event("quick", "glass", at(13), times=glass_times(plan, at(13), 1.0))
    bakes.add_to_journal(store, at(13), kitchen_id, "quick", [mark])
    (lesson,) = baking_book.taught(store, at(13), kitchen_id).lessons
    assert lesson.quicker == pytest.approx(math.exp(0.2), rel=5e-3)


def test_a_dough_just_right_when_it_was_pressed_teaches_too(store: Store, kitchen_id: str) -> None:
    plan = a_bake(store, kitchen_id)
    bakes.add_to_journal(store, at(20), kitchen_id, plan.bake_id, [
        event(plan.bake_id, "done", at(7, 30), step_id="mix"),
        event(plan.bake_id, "done", at(15), step_id="press"),
        event(plan.bake_id, "outcome", at(20), timing="right"),
    ])  # fmt: skip
    (lesson,) = baking_book.taught(store, at(20), kitchen_id).lessons
    press = next(step for step in plan.steps if step.mark)
    assert press.mark is not None
    begun = at(15) - (press.end - press.start)
    assert lesson.seen == "right"
    assert lesson.quicker == pytest.approx(press.mark.best / model_progress(plan, begun), rel=0.01)


@pytest.mark.parametrize("times", [1.0, 1.01, 12.5])
def test_a_mark_that_says_nothing_teaches_nothing(store: Store, kitchen_id: str, times: float) -> None:
    plan = a_bake(store, kitchen_id)
    mark = event(plan.bake_id, "glass", at(14), times=times)
    bakes.add_to_journal(store, at(14), kitchen_id, plan.bake_id, [mark])
    assert baking_book.taught(store, at(14), kitchen_id).kitchen.vigour_ln_mean == 0.0


def test_another_kitchens_marks_teach_us_nothing(store: Store, kitchen_id: str) -> None:
    theirs = access.make_kitchen(store, NOW, new_id, "their-key").kitchen_id
    plan = a_bake(store, theirs)
    bakes.add_to_journal(store, at(14), theirs, plan.bake_id, [event(plan.bake_id, "glass", at(14), times=2.2)])
    assert baking_book.taught(store, at(14), kitchen_id).lessons == ()


def test_the_book_says_what_was_different_from_the_last_bake_of_that_dough(store: Store, kitchen_id: str) -> None:
    first = replace(sample_plan("first"), supper=at(19, 30) - 86400 * 3)
    other = replace(sample_plan("other"), supper=at(19, 30) - 86400 * 2, formula_key="oil-tray")
    second = replace(sample_plan("second"), yeast_percent=0.2)
    for plan in (first, other, second):
        a_bake(store, kitchen_id, plan)
    never, _ = baking_book.book(store, kitchen_id, at(22))
    assert never[0].different == (), "what was never begun is no bake to compare with"
    eaten = event("first", "outcome", first.supper, verdict="right")
    bakes.add_to_journal(store, NOW, kitchen_id, "first", [eaten])
    (latest, between, earliest), _ = baking_book.book(store, kitchen_id, at(22))
    assert latest.different == (("Yeast", "0.12 % instant", "0.2 % instant"),)
    assert between.different == earliest.different == ()


def test_the_book_names_the_yeast_that_was_weighed_and_not_the_one_that_was_planned(
    store: Store, kitchen_id: str
) -> None:
    """By hand: 0.12 % instant is 0.12 / 0.33 = 0.36 % fresh (Hamelman, Bread)."""
    first = replace(sample_plan("first"), supper=at(19, 30) - 86400 * 3)
    fresh = tuple(
        replace(line, name="Fresh yeast", percent=line.percent / 0.33) if line.kind == "yeast" else line
        for line in first.lines
    )
    second = replace(sample_plan("second"), other_yeasts=(OtherYeast("fresh", fresh),))
    for plan in (first, second):
        a_bake(store, kitchen_id, plan)
    eaten = event("first", "outcome", first.supper, verdict="right")
    bakes.add_to_journal(store, NOW, kitchen_id, "first", [eaten])
    switched = event("second", "yeast", at(8), yeast="fresh")
    bakes.add_to_journal(store, at(8), kitchen_id, "second", [switched])
    (latest, _), _ = baking_book.book(store, kitchen_id, at(22))
    assert latest.different == (("Yeast", "0.12 % instant", "0.36 % fresh"),)
    assert latest.plan.yeast_kind == "fresh"
    shown = weights.named(latest.plan.lines, latest.plan.yeast_kind)
    assert next(line.name for line in shown if line.kind == "yeast") == "Fresh yeast"


# --- phones -------------------------------------------------------------------------------------------------------


def test_what_the_book_is_told_counts_after_what_a_phone_with_a_fast_clock_said(store: Store, kitchen_id: str) -> None:
    plan = a_bake(store, kitchen_id)
    fast = replace(event(plan.bake_id, "outcome", at(20), base="pale-base"), logged_at=at(23))
    bakes.add_to_journal(store, at(20), kitchen_id, plan.bake_id, [fast])
    baking_book.write_outcome(store, at(21), new_id, kitchen_id, plan.bake_id, {"base": "good"})
    state = fold(plan, kept.journal(store, kitchen_id, plan.bake_id))
    assert dict(state.outcome)["base"] == "good"


def test_a_key_opens_its_own_kitchen_only(store: Store, kitchen_id: str) -> None:
    home = access.come_in(store, NOW, "key")
    assert home is not None
    assert home.kitchen_id == kitchen_id
    assert access.come_in(store, NOW, "another") is None
    assert access.come_in(store, NOW, access.hash_of("key")) is None


def test_a_visit_is_written_down_once_an_hour(store: Store, kitchen_id: str) -> None:
    for minutes in (1, 59, 61):
        access.come_in(store, NOW + minutes * 60, "key")
    (phone,) = access.phones(store, kitchen_id)
    assert phone.seen_at == NOW + 61 * 60


def test_a_kitchen_holds_so_many_phones_and_a_refused_code_is_not_lost(store: Store, kitchen_id: str) -> None:
    for number in range(access.MOST_PHONES - 1):
        access.offer_code(store, NOW, kitchen_id, "code")
        access.join(store, NOW, new_id, "code", f"key-{number}")
    access.offer_code(store, NOW, kitchen_id, "code")
    with pytest.raises(PlanError, match="use this kitchen already"):
        access.join(store, NOW, new_id, "code", "one-more")
    assert access.code_opens(store, NOW, "code")


def test_two_edits_of_a_kitchen_do_not_undo_each_other(store: Store, kitchen_id: str) -> None:
    access.change_kitchen(store, kitchen_id, lambda kitchen: replace(kitchen, fridge_c=3.0))
    access.change_kitchen(store, kitchen_id, lambda kitchen: replace(kitchen, warm_c=30.0))
    kitchen = bakes.kitchen_of(store, kitchen_id)
    assert (kitchen.fridge_c, kitchen.warm_c) == (3.0, 30.0)


# --- larder -------------------------------------------------------------------------------------------------------


def test_the_larder_has_an_end(store: Store, kitchen_id: str) -> None:
    few = replace(FORMULAS, most=2)
    formula = next(iter(larder.of_kitchen(store, kitchen_id).formulas.values()))
    keys = [own_things.save(store, NOW, new_id, kitchen_id, few, formula) for _ in range(2)]
    with pytest.raises(PlanError, match="2 own formulas already"):
        own_things.save(store, NOW, new_id, kitchen_id, few, formula)
    own_things.save(store, NOW, new_id, kitchen_id, few, replace(formula, name="Changed"), keys[0])
    assert [one.number for one in own_things.versions(store, kitchen_id, few, keys[0])] == [2, 1]


def test_putting_one_away_makes_room_for_another(store: Store, kitchen_id: str) -> None:
    few = replace(FORMULAS, most=1)
    formula = next(iter(larder.of_kitchen(store, kitchen_id).formulas.values()))
    key = own_things.save(store, NOW, new_id, kitchen_id, few, formula)
    own_things.put_away(store, kitchen_id, few, key)
    assert own_things.save(store, NOW, new_id, kitchen_id, few, formula) != key
    with pytest.raises(NotHere):
        own_things.save(store, NOW, new_id, kitchen_id, few, formula, key)


@pytest.mark.parametrize("kind", [FORMULAS, TOPPINGS, METHODS], ids=lambda kind: kind.name)
def test_what_this_program_cannot_read_is_left_out_and_locks_nothing(
    store: Store, kitchen_id: str, kind: own_things.Kind[object]
) -> None:
    store.put_in_larder(kitchen_id, kind.name, "own-later", {"key": "own-later", "made_by": "a later version"}, NOW)
    assert own_things.own(store, kitchen_id, kind) == {}
    assert own_things.versions(store, kitchen_id, kind, "own-later") == ()
    assert larder.of_kitchen(store, kitchen_id).formulas


# --- the demo -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("hour", [6, 11, 23])
def test_the_demo_fills_a_kitchen_with_a_past_and_a_bake_to_come(tmp_path: Path, hour: int) -> None:
    settings = Settings(data=tmp_path)
    now = at(hour)
    address = demo(settings, now)
    store = Store(settings.database_file)
    code = address.rsplit("=", 1)[1]
    kitchen_id = access.join(store, now + 60, new_id, code, "my-key")
    book, _ = baking_book.book(store, kitchen_id, now)
    assert len(book) == 2
    assert all(entry.outcome and entry.notes for entry in book)
    (coming,) = bakes.coming(store, kitchen_id, now)
    assert coming.begins >= now
    taught = baking_book.taught(store, now, kitchen_id)
    assert len(taught.lessons) >= 2
    assert taught.kitchen.vigour_ln_mean > 0
    assert taught.kitchen.vigour_ln_sd < 0.2


def test_the_demo_is_opened_where_the_server_of_its_folder_answers(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path)
    assert demo(settings, NOW).startswith("http://127.0.0.1:8080/join?")
    settings.port_note.write_text("9123\n")
    assert demo(settings, NOW).startswith("http://127.0.0.1:9123/join?")


def test_every_run_of_the_demo_makes_a_kitchen_of_its_own(tmp_path: Path) -> None:
    assert demo(Settings(data=tmp_path), NOW) != demo(Settings(data=tmp_path), NOW)


def test_the_demo_kitchen_could_have_been_typed_in(store: Store) -> None:
    from webapp.forms import kitchen as kitchen_form
    from webapp.forms.typed import Answers

    kitchen = demo_kitchen("Europe/Lisbon")
    read: Callable[[Answers, Kitchen], Kitchen]
    for name, section in kitchen_form.SECTIONS.items():
        read = section.read
        again = read(Answers(section.typed(kitchen)), kitchen)
        again = replace(again, oven=replace(again.oven, dial_said=kitchen.oven.dial_said))  # saved, it is said
        assert replace(again, pans=kitchen.pans) == kitchen, name
