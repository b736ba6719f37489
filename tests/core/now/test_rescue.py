"""Ways out: each is what re-timing says would happen if it were taken."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.now.saying import (
    constant_room,
    done,
    hour,
    look,
    said,
    steady_plan,
    step,
    ways,
)
from tests.samples import sample_plan
from webapp.core.plan import Event

PLAN = constant_room(sample_plan(), 21.0)
MIXED = done("mix", 7.5)


def late_until(h: float) -> Event:
    """The person cannot come before that hour, as known at 17:00."""
    return said("later", 17, until=hour(h))


def test_a_bake_in_time_needs_no_rescue() -> None:
    assert ways(PLAN, 9, MIXED) == {}


def test_before_mixing_there_is_nothing_to_put_anywhere() -> None:
    assert set(ways(PLAN, 7, said("later", 7, until=hour(40)))) == {"later"}


def test_a_dough_that_would_go_over_is_saved_by_the_fridge_until_the_hour_named() -> None:
    out = ways(PLAN, 17, MIXED, late_until(24.5))
    assert set(out) == {"fridge", "past", "later"}
    by = out["fridge"].by
    assert hour(17) < by < out["past"].until

    def press_if_chilled(at: int) -> str:
        moved = said("moved", (at - hour(0)) / 3600, place="fridge")
        return step(look(PLAN, 17, MIXED, late_until(24.5), moved), "press").flag

    assert press_if_chilled(by) != "past"
    assert press_if_chilled(by + 120) == "past"


def test_put_in_the_fridge_now_it_holds_until_the_hour_named() -> None:
    out = ways(PLAN, 20, MIXED, late_until(30))
    until = out["fridge"].until
    chilled = [MIXED, said("moved", 20, place="fridge")]
    assert step(look(PLAN, 20, *chilled, said("later", 20, until=until - 120)), "press").flag != "past"
    assert step(look(PLAN, 20, *chilled, said("later", 20, until=until + 120)), "press").flag == "past"


def test_a_fridge_that_comes_too_late_names_no_hour_but_says_how_long_it_holds() -> None:
    fridge = ways(PLAN, 22, MIXED, late_until(90))["fridge"]
    assert (fridge.by, fridge.until > hour(22)) == (0, True)


def test_a_dough_in_the_fridge_already_is_not_sent_there_again() -> None:
    out = ways(PLAN, 22, MIXED, said("moved", 20, place="fridge"), late_until(110))
    assert "fridge" not in out
    assert "past" in out


def test_already_past_its_best_says_since_when() -> None:
    out = ways(PLAN, 26, MIXED)
    assert out["past"].until == step(look(PLAN, 26, MIXED), "press").past_at < hour(26)
    assert out["fridge"].by == 0


def test_a_slow_dough_comes_sooner_in_the_warm_spot_by_what_it_says() -> None:
    cold = constant_room(sample_plan(), 15.0)
    warm = ways(cold, 12, MIXED)["warm"]
    plain, moved = look(cold, 12, MIXED), look(cold, 12, MIXED, said("moved", 12, place="warm"))
    assert warm.step_id == "load", "the dough can be pressed in time; it is loading that would wait"
    assert warm.sooner_s == step(plain, "load").start - step(moved, "load").start > 0
    assert warm.until == step(moved, "load").early_at


def test_a_dough_that_never_gets_there_may_in_the_warm_spot() -> None:
    asleep = constant_room(sample_plan(), -2.0)
    frozen = replace(asleep, rise=replace(asleep.rise, table=replace(asleep.rise.table, rates=(
        *(0.0 for _ in range(25)), *asleep.rise.table.rates[25:])), dough_c=0.0))  # fmt: skip
    warm = ways(frozen, 9, MIXED)["warm"]
    assert (warm.sooner_s, warm.until > hour(9)) == (0, True)


def test_the_warm_spot_is_not_named_where_it_does_not_help() -> None:
    assert "warm" not in ways(steady_plan(0.05), 9, MIXED), "its rate is the same at any temperature"
    assert "warm" not in ways(steady_plan(0.0), 9, MIXED), "it never gets there, warm or not"
    cold = constant_room(sample_plan(), 15.0)
    assert "warm" not in ways(cold, 13, MIXED, said("moved", 12, place="warm")), "it is there already"


def test_eating_later_names_when() -> None:
    here = look(PLAN, 18.5, MIXED)
    assert ways(PLAN, 18.5, MIXED)["later"].ready_at == here.ready_at == pytest.approx(hour(19.9), abs=900)


def test_after_loading_no_rise_is_waited_for() -> None:
    loaded = [MIXED, done("press", 16.9), done("top", 18.8), done("load", 18.95)]
    assert ways(PLAN, 23, *loaded).keys() == {"later"}
