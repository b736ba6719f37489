"""What is left out because it could not win: the answer is that of every method searched alone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.bench.bench_propose import a_week_of, a_wish
from webapp.core.planner.candidates import best_offer, lay_out, methods_that_fit
from webapp.core.planner.effort import Effort
from webapp.core.planner.propose import best_alone, fits, propose, suppers_that_fit, week

seeds = st.integers(0, 10_000)


@pytest.mark.many_cases
@settings(deadline=None, max_examples=25)
@given(seeds, st.sampled_from([14, 26, 50, 72]), st.booleans())
def test_offers_are_the_best_days_of_the_methods_searched_alone(seed: int, hours: int, free: bool) -> None:
    wanted = a_wish(seed, hours, hours // 2, free)
    alone = []
    for method in wanted.methods:
        found = lay_out(wanted).search(method).best()
        alone += [(found.points, method.key)] if found else []
    offers = propose(wanted, with_nearest=False).offers
    first = {one.method: one.score for one in reversed(offers)}  # of a method that is there twice the better
    assert sorted((score, key) for key, score in first.items()) == sorted(alone)[:3]
    assert {method.key for method in methods_that_fit(lay_out(wanted))} == {key for _, key in alone}


@pytest.mark.many_cases
@settings(deadline=None, max_examples=25)
@given(seeds, st.sampled_from([14, 26, 50]), st.booleans(), st.integers(0, 4))
def test_the_best_alone_is_the_first_offer_whichever_method_was_thought_likely(
    seed: int, hours: int, free: bool, likely: int
) -> None:
    wanted = a_wish(seed, hours, hours // 2, free)
    keys = [one.key for one in wanted.methods]
    offers = propose(wanted, with_nearest=False).offers
    first = [(one.score, one.method) for one in offers[:1]]
    alone = best_alone(wanted, keys[likely % len(keys)])
    assert [(one.score, one.method) for one in (alone,) if one] == first


@pytest.mark.many_cases
@settings(deadline=None, max_examples=6)
@given(seeds)
def test_each_evening_of_a_week_has_the_answer_that_it_has_by_itself(seed: int) -> None:
    wanted, suppers = a_week_of(seed)
    for evening in week(wanted, suppers):
        if any(one.kind == "best-so-far" for offer in evening.answer.offers for one in offer.asides):
            continue  # seven evenings share what one may cost
        there = lay_out(wanted).for_supper(evening.supper, Effort())
        alone = best_offer(there)
        said = [(one.method, one.score, one.steps) for one in (*evening.answer.offers, alone) if one]
        assert said[: len(said) // 2] == said[len(said) // 2 :]
        assert len(evening.answer.offers) == bool(alone)


@settings(deadline=None, max_examples=6)
@given(seeds, st.booleans())
def test_which_of_many_suppers_have_a_day_is_what_each_says_that_is_asked_alone(seed: int, free: bool) -> None:
    wanted = a_wish(seed, 50, 40, free)
    suppers = [wanted.supper - back * 3600 for back in (20, 0, 44, 7)]  # some of them in the night, some too soon
    alone = [one for one in suppers if fits(replace(wanted, supper=one))]
    assert list(suppers_that_fit(wanted, suppers)) == alone


def test_a_part_of_the_purse_ends_sooner_and_what_ran_out_in_it_is_forgotten() -> None:
    purse = Effort(1000)
    with purse.a_part(0.25):
        assert purse.spend(249)
        assert not purse.spend(1)
        assert purse.cut
    assert not purse.cut
    assert purse.at_hand == 750  # what was not spent of 1000
