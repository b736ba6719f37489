"""What is said about an offer: every row of the table of weights has words of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from tests.samples import at, sample_plan
from tests.wishes import method, wish
from webapp.core.kinds import AsideKind, CostKey
from webapp.core.plan.trade import Aside, Trade, Worse
from webapp.core.planner.cost import WEIGHTS
from webapp.core.planner.offer import Offer
from webapp.core.planner.propose import propose
from webapp.words.plan.offers import WHY, aside, errands_words, sentence, why_not
from webapp.words.times import span_words


def test_whatever_may_decide_between_two_days_has_a_sentence() -> None:
    assert set(WHY) == {weight.key for weight in WEIGHTS}
    assert all(why[0].isupper() and why.endswith(".") for why in WHY.values())


@pytest.mark.parametrize(("seconds", "said"), [(3000, "50 min"), (10800, "3 h"), (9000, "2 h 30 min")])
def test_a_length_of_time_is_said_in_hours_and_minutes(seconds: int, said: str) -> None:
    assert span_words(seconds) == said


def said(offer: Offer) -> str:
    trade = Trade(offer.method, offer.method_name, offer.slack_s, offer.early_s, offer.hands_on_s, offer.score,
                  visits=offer.visits)  # fmt: skip
    return sentence(offer.steps, offer.ready_at, trade)


def one(supper: str, now: str, key: str) -> Offer:
    """The best day of one method."""
    return propose(wish(supper, now, methods=(method(key),))).offers[0]


def test_every_row_of_the_table_of_weights_is_a_cost_that_can_be_told() -> None:
    assert {weight.key for weight in WEIGHTS} == set(get_args(CostKey))


def test_the_price_is_visits_and_work() -> None:
    day = propose(wish("2026-11-25T20:30", methods=(method("bench-day"),))).offers[0]
    work = f"{day.visits} visits to the kitchen, {span_words(day.hands_on_s)} of work."
    assert day.visits > 1
    assert said(day).endswith(work)


def test_the_hours_named_are_those_in_which_nobody_touches_the_dough() -> None:
    day = one("2026-11-28T19:30", "2026-11-27T20:00", "bench-day")
    folds = [s.end for s in day.steps if s.kind == "fold"]
    press = next(s.start for s in day.steps if s.kind == "press")
    assert folds, "a Saturday at home has room for folds"
    assert said(day).startswith(f"{(press - folds[-1]) // 3600} h on the bench without a hand on it")


@pytest.mark.parametrize(
    ("supper", "now", "key", "good"),
    [
        ("2026-11-28T19:30", "2026-11-25T06:00", "cold", "The fridge holds the dough"),
        ("2026-11-28T19:30", "2026-11-26T06:00", "two-stage", "Mixed in two stages"),
        ("2026-11-25T21:00", "2026-11-25T17:45", "express", "with more yeast and a warm spot"),
    ],
)
def test_what_a_way_is_good_for_is_said_first(supper: str, now: str, key: str, good: str) -> None:
    assert good in said(one(supper, now, key)).partition(";")[0]


def test_one_visit_is_no_visits() -> None:
    offer = one("2026-11-28T19:30", "2026-11-25T06:00", "cold")
    assert "1 visit to the kitchen" in said(replace(offer, visits=1))


def test_what_can_be_counted_is_counted_and_the_rest_is_said_in_words() -> None:
    lost = (Worse("slack", 3000, 9000), Worse("visit", 4, 3), Worse("ferment"), Worse("slack"), Worse("visit"))
    assert why_not(lost) == (
        "It waits for you 50 min at most, not 2 h 30 min.", "4 visits to the kitchen, not 3.", WHY["ferment"],
        WHY["slack"], WHY["visit"],
    )  # fmt: skip


ASIDES = [
    (Aside("warm-kitchen", temp_c=30.0, keeps_s=22154),
     "At 30 °C a dough keeps on the bench for about 6 h, so longer ways are left out."),
    (Aside("loaded-early", share=0.92), "The dough goes into the oven a bit young, at 92 % of its best."),
    (Aside("loaded-late", share=1.07, load=3),
     "Load 3 goes into the oven a bit past its best, at 107 % of it."),
    (Aside("just-in"), "There is work within ten minutes of coming home: the hours leave no other way."),
    (Aside("unknown-kitchen"), "In a kitchen we do not know yet, the fridge forgives most."),
    (Aside("best-so-far"), "There may be a better day yet: looking at them all would have taken too long."),
]  # fmt: skip


@pytest.mark.parametrize(("told", "text"), ASIDES, ids=[told.kind for told, _ in ASIDES])
def test_what_an_offer_has_to_say_of_itself_follows_its_sentence(told: Aside, text: str) -> None:
    offer = one("2026-11-25T20:30", "2026-11-25T06:45", "bench-day")
    trade = Trade("bench-day", "", offer.slack_s, offer.early_s, offer.hands_on_s, offer.score, asides=(told,))
    assert sentence(offer.steps, offer.ready_at, trade).endswith(f". {text}")
    assert {told.kind for told, _ in ASIDES} == set(get_args(AsideKind))


def test_a_kitchen_in_fahrenheit_reads_its_own_degrees() -> None:
    """28 C is 82.4 F."""
    assert aside(Aside("warm-kitchen", temp_c=28.0, keeps_s=28800), "F").startswith("At 82 °F a dough keeps")


def test_all_that_is_done_before_the_tray_goes_in_is_named_though_the_lines_above_leave_small_things_out() -> None:
    """Pressed out at 16:45, oven on at 18:10, topped at 18:45, in at 18:55; beside that a sauce and the cheese."""
    plan = sample_plan()
    press = next(one for one in plan.steps if one.kind == "press")
    sauce = replace(press, step_id="sauce", kind="sauce", chain=False, start=at(17, 30), end=at(17, 35))
    cheese = replace(press, step_id="cheese-out", kind="cheese-out", chain=False, start=at(18, 20), end=at(18, 25))
    nobody = replace(press, step_id="proof", kind="proof", presence="none", start=at(17), end=at(18))
    day = replace(plan, steps=(*plan.steps, sauce, cheese, nobody))
    assert errands_words(day, "press", "24") == (
        "6 things to do from 16:45 to 18:55", "16:45 press out into the pan", "17:30 make the sauce",
        "18:10 turn the oven on", "18:20 cheese out of the fridge", "18:45 put the topping on",
        "18:55 into the oven to bake",
    )  # fmt: skip
    assert errands_words(day, "load", "24") == (), "one thing is no list"
