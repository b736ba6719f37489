"""Nothing fits, in words: a sentence for every kind of hindrance, a button for every way out."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from webapp.core.day.day import instant_of
from webapp.core.kinds import BUSY_KINDS, BusyKind, HindranceKind, WayOutKind
from webapp.core.kitchen import Kitchen
from webapp.core.planner.offer import Change, Hindrance, InTheWay
from webapp.core.safety.cautions import LongBench
from webapp.words.cautions import AUTHORITY
from webapp.words.problems import refusal

LISBON = Kitchen(zone="Europe/Lisbon")
LIT, OUT = (instant_of(f"2026-11-25T{clock}", LISBON.zone) for clock in ("17:03", "18:10"))
SUPPER = instant_of("2026-11-25T18:15", LISBON.zone)
HINDERED: list[tuple[Hindrance, str]] = [
    (Hindrance("no-preferment"), "This formula has no preferment."),
    (Hindrance("perishable"),
     "This dough has milk, egg or cheese in it and must not stand out of the fridge for hours."),
    (Hindrance("no-warm-spot"), "This kitchen has no warm spot."),
    (Hindrance("oven-too-long", needs_s=67 * 60, left_s=30 * 60),
     "Heating the oven and baking take 1 h 7 min; supper is in 30 min."),
    (
        Hindrance("too-warm", temp_c=30.0, keeps_s=22154),
        "At 30 °C a dough keeps on the bench for about 6 h: the fridge holds it for longer.",
    ),
    (Hindrance("oven-alone", start=LIT, end=OUT),
     "The oven would be on from about 17:03 to 18:10: somebody must be at home all that time, with their hands free to "
     "load and to lift."),
    (Hindrance("oven-taken", start=LIT, end=OUT),
     "The oven would be needed from about 17:03 to 18:10, and another bake of yours has it then."),
    (Hindrance("too-long", needs_s=277 * 60, left_s=135 * 60),
     "It takes 4 h 37 min at the very least; supper is in 2 h 15 min."),
    (Hindrance("hours"), "Your hours leave no room for it."),
    (Hindrance("busy-hours", busy=BUSY_KINDS), "You are away, busy or asleep when the dough needs you."),
    (Hindrance("yeast", least_percent=1.5, most_percent=2.0),
     "It would take less than 1.5 % or more than 2 % of yeast to be ready in your hours."),
    (Hindrance("waits"), "Its waits do not fit between now and this supper."),
]  # fmt: skip


@pytest.mark.parametrize(("why", "said"), HINDERED, ids=[why.kind for why, _ in HINDERED])
def test_each_hindrance_is_one_sentence(why: Hindrance, said: str) -> None:
    assert refusal.hindrance_words(why, LISBON) == said


def test_no_kind_of_hindrance_is_left_without_a_sentence() -> None:
    assert {why.kind for why, _ in HINDERED} == set(get_args(HindranceKind))


@pytest.mark.parametrize("kind", BUSY_KINDS)
def test_the_hours_to_blame_are_named(kind: BusyKind) -> None:
    said = refusal.hindrance_words(Hindrance("busy-hours", busy=(kind,)), LISBON)
    assert said == f"You are {kind} when the dough needs you."


def test_a_kitchen_that_counts_twelve_hours_reads_them() -> None:
    said = refusal.hindrance_words(Hindrance("oven-alone", start=LIT, end=OUT), replace(LISBON, clock="12"))
    assert "5:03 pm to 6:10 pm" in said


CHANGES: list[tuple[Change, str]] = [
    (Change("eat-later", SUPPER, SUPPER + 3600), "Eat 1 h later."),
    (Change("another-day", SUPPER, SUPPER + 86400), "Eat on Thursday 18:15."),
    (Change("home-earlier", SUPPER, LIT), "Come home by 17:03."),
    (Change("home-earlier", SUPPER, LIT, "Bo"), "Bo comes home by 17:03."),
    (Change("use-fridge", SUPPER, name="Cold in the fridge"), "Use the fridge: Cold in the fridge."),
    (Change("other-method", SUPPER, name="Express"), "Another method: Express."),
    (Change("as-they-come", SUPPER), "Serve the trays as they come, the first at 18:15."),
    (Change("fewer-together", SUPPER, name="1"), "Bake the trays one after the other."),
    (Change("fewer-together", SUPPER, name="2"), "Bake 2 trays at a time."),
    (Change("half-then", SUPPER, SUPPER + 86400), "The other half on Thursday."),
    (Change("other-dough", SUPPER, name="Plain tray"), "Take Plain tray instead: nothing in it needs the fridge."),
]


@pytest.mark.parametrize(("change", "said"), CHANGES)
def test_each_way_out_is_a_button(change: Change, said: str) -> None:
    assert refusal.change_words(change, LISBON) == said


def test_no_kind_of_way_out_is_left_without_words() -> None:
    assert {change.kind for change, _ in CHANGES} == set(get_args(WayOutKind))


def test_reasons_name_the_methods_they_keep_out_unless_it_is_all_of_them() -> None:
    waits, warm = Hindrance("waits"), Hindrance("no-warm-spot")
    one = (InTheWay("a", "Bench", waits), InTheWay("b", "Cold", waits))
    assert refusal.reasons(one, LISBON) == ("Its waits do not fit between now and this supper.",)
    two = (*one, InTheWay("c", "Express", warm))
    assert refusal.reasons(two, LISBON) == (
        "Bench and Cold: Its waits do not fit between now and this supper.",
        "Express: This kitchen has no warm spot.",
    )
    assert refusal.by_method(one, LISBON)[0] == "Bench: Its waits do not fit between now and this supper."
    first = refusal.problems(two, LISBON, more_ways=True)[0]
    assert (first.field, first.kind) == ("when", "refused")


def test_a_rich_dough_on_the_bench_is_refused_with_limit_and_way_out() -> None:
    problem = refusal.long_bench(LongBench(9 * 3600, 7200, hot=False, cold=False))
    assert problem.field == "method"
    assert "9 hours" in problem.message
    assert "2 hours" in problem.message
    assert "above 32" not in problem.message
    assert "the cold way" in problem.way_out
    assert AUTHORITY in problem.way_out


def test_where_even_the_cold_way_is_too_long_it_says_so_and_offers_another_way() -> None:
    problem = refusal.long_bench(LongBench(6000, 3600, hot=True, cold=True))
    assert "1 hour in a kitchen above 32 °C" in problem.message
    assert "the cold way" not in problem.way_out  # it is on the cold way already
    assert "cooler kitchen" in problem.way_out
    assert AUTHORITY in problem.way_out
