"""The one hidden number of a dough, against posteriors worked by hand.

A normal prior (0, sd0) and readings y_i with sd_i give mean = sum(y_i / sd_i^2) / (1 / sd0^2 + sum(1 / sd_i^2)) and
variance 1 / (1 / sd0^2 + sum(1 / sd_i^2)): conjugacy of the normal with known variance, in any textbook on Bayes.
`steady_plan(0.15)` has progress 0.15 an hour from 07:30; its marks at pressing are 1.02, 1.36, 2.28.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from tests.core.now.saying import done, hour, look, said, steady_plan, step
from webapp.core.now.estimate import GLASS_SD, LOOK_SD, POKE_SD, Z_80
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.rise import GlassMark

MIXED = done("mix", 7.5)
PRIOR_SD = 0.4


def plan_with(sd: float = PRIOR_SD) -> Plan:
    """The steady dough, as uncertain as that; its glass says progress = (times - 1) to the power 1."""
    plan = steady_plan(0.15)
    glass = tuple(GlassMark(1 + n / 4, n / 4) for n in range(1, 17))
    return replace(plan, rise=replace(plan.rise, sd=sd, glass=glass))


PLAN = plan_with()


def seen(now_h: float, *events: Event, plan: Plan = PLAN) -> Retimed:
    """The bake at that hour, mixed at 07:30."""
    return look(plan, now_h, MIXED, *events)


def glass_sd(times: float) -> float:
    """Of ln progress: a height off by 8 % of itself and 3 % of the first one (what the bench of evenings reads), by
    d ln E^0.75 = 0.75 dx / (x - 1); no more of the first below half a rise."""
    return math.hypot(height_sd(times), 0.75 * 0.03 / (times - 1))


def height_sd(times: float) -> float:
    risen = max(times, 1.5)
    return 0.75 * 0.08 * risen / (risen - 1)


def test_with_nothing_seen_it_is_the_plan() -> None:
    here = seen(12)
    assert (here.ln_mean, here.factor, here.outside) == (0.0, 1.0, ())
    assert here.ln_sd == pytest.approx(PRIOR_SD)


def test_one_glass_is_a_mean_weighted_by_precision() -> None:
    """At 11:30 the plan has 0.6; the glass at 1.9 says 0.9: y = ln 1.5."""
    here = seen(11.6, said("glass", 11.5, times=1.9))
    weight, prior = 1 / glass_sd(1.9) ** 2, 1 / PRIOR_SD**2
    assert here.ln_mean == pytest.approx(math.log(1.5) * weight / (weight + prior), abs=1e-9)
    assert here.ln_sd == pytest.approx((weight + prior) ** -0.5, abs=1e-9)
    assert here.factor == pytest.approx(math.exp(here.ln_mean), rel=1e-9)


def test_eye_and_finger_weigh_by_their_own_errors() -> None:
    """At 15:30 the plan has 1.2. Doubled says 0.75 x 1.36 at pressing, slowly 1.0 of best at loading."""
    load_best = step_mark(PLAN, "load")
    here = seen(15.6, said("looked", 15.5, seen="doubled"), said("poked", 15.5, springs="slowly"))
    rows = [(math.log(0.75 * step_mark(PLAN, "press") / 1.2), 0.30), (math.log(load_best / 1.2), 0.25)]
    precision = 1 / PRIOR_SD**2 + sum(1 / sd**2 for _, sd in rows)
    assert here.ln_mean == pytest.approx(sum(y / sd**2 for y, sd in rows) / precision, abs=1e-9)
    assert (LOOK_SD, POKE_SD, GLASS_SD) == (0.30, 0.25, 0.12)


def step_mark(plan: Plan, step_id: str) -> float:
    """Best of that step."""
    mark = next(one.mark for one in plan.steps if one.step_id == step_id)
    assert mark is not None
    return mark.best


@pytest.mark.parametrize(
    ("event", "share", "of", "sd"),
    [
        (("looked", {"seen": "hardly"}), 1 / 3, "press", 0.30),
        (("looked", {"seen": "well-over"}), 1.0, "press", 0.30),
        (("poked", {"springs": "slowly"}), 1.00, "load", 0.25),
        (("poked", {"springs": "stays"}), 1.25, "load", 0.25),
    ],
)
def test_each_word_stands_for_its_share_of_best(
    event: tuple[str, dict[str, str]], share: float, of: str, sd: float
) -> None:
    here = seen(15.6, said(event[0], 15.5, **event[1]))
    y = math.log(share * step_mark(PLAN, of) / 1.2)
    assert here.ln_mean == pytest.approx(y / sd**2 / (1 / sd**2 + 1 / PRIOR_SD**2), abs=1e-9)


@pytest.mark.parametrize(
    ("event", "others", "is_news"),
    [
        (("poked", {"springs": "stays"}), (), True),  # 1.25 of best, where the plan has less
        (
            ("poked", {"springs": "at-once"}),
            (),
            False,
        ),  # at most 0.80 of best: the plan has less anyway
        (("looked", {"seen": "hardly"}), (), True),  # at most a third, where the plan has far more
        (("poked", {"springs": "stays"}), (("glass", {"times": 4.5}),), False),  # the glass has it further than that
        (("looked", {"seen": "sinking"}), (("glass", {"times": 4.5}),), False),
        (("poked", {"springs": "at-once"}), (("glass", {"times": 4.5}),), True),
    ],
)
def test_at_most_and_at_least_are_no_news_where_all_else_says_so_already(
    event: tuple[str, dict[str, object]], others: tuple[tuple[str, dict[str, object]], ...], is_news: bool
) -> None:
    """A dough that has come further than a word can say is not held to be slower for that word."""
    known = [said(kind, 14.5, **data) for kind, data in others]
    before, after = seen(15.6, *known), seen(15.6, *known, said(event[0], 15.5, **event[1]))
    assert (after.ln_mean != before.ln_mean) is is_news
    assert (after.ln_sd < before.ln_sd) is is_news


def test_a_look_says_how_far_the_dough_is_wherever_its_method_presses_it() -> None:
    """Twice its volume is twice its volume, also of a dough that is pressed at four fifths of its rise."""
    press = next(one.mark for one in PLAN.steps if one.step_id == "press")
    assert press is not None
    sooner = replace(press, early=0.8 * press.early, best=0.8 * press.best, full=press.best)
    plan = replace(PLAN, steps=tuple(replace(s, mark=sooner) if s.step_id == "press" else s for s in PLAN.steps))
    for word in ("hardly", "doubled", "well-over", "sinking"):
        told = said("looked", 15.5, seen=word)
        assert look(plan, 15.6, MIXED, told).factor == look(PLAN, 15.6, MIXED, told).factor


def test_sinking_is_past_at_pressing() -> None:
    past = next(one.mark for one in PLAN.steps if one.step_id == "press")
    assert past is not None
    y = math.log(past.past / 1.2)
    here = seen(15.6, said("looked", 15.5, seen="sinking"))
    assert here.ln_mean == pytest.approx(y / 0.09 / (1 / 0.09 + 1 / PRIOR_SD**2), abs=1e-9)


def test_the_order_of_what_was_seen_changes_nothing() -> None:
    events = [said("glass", 11.5, times=1.9), said("glass", 13.5, times=2.2), said("looked", 14, seen="doubled")]
    means = [seen(15, *order).ln_mean for order in itertools.permutations(events)]
    assert max(means) - min(means) < 1e-12


def test_readings_of_one_glass_share_most_of_their_error_and_the_later_leads() -> None:
    """Worked by hand: of a height that is off by 8 % of itself the glass has 0.85, each reading the rest.

    That is 0.16 at 1.6 and 0.126667 at 1.9, of which 0.136 and 0.107667 are the glass's. Own variances are
    0.16^2 - 0.136^2 + 0.0225^2 / 0.36 = 0.00851025, 0.126667^2 - 0.107667^2 + 0.0225^2 / 0.81 = 0.00507733. The leads
    ((x - 1) / x)^2 are 0.140625 and 0.224377, so the mean has (0.140625^2 x 0.00851025 + 0.224377^2 x 0.00507733) /
    0.365002^2 = 0.00318190 of its own, and of the glass ((0.140625 x 0.136 + 0.224377 x 0.107667) / 0.365002)^2 =
    0.01406186: together a precision of 57.992. The prior 0.4 has 6.25, so the sd is (64.242)^-0.5 = 0.124765.
    At 11:30 the plan has 0.6 and the glass says 0.6 (ln 1 = 0); at 13:30 0.9 and 0.9: it is as planned.
    """
    here = seen(15, said("glass", 11.5, times=1.6), said("glass", 13.5, times=1.9))
    assert here.ln_sd == pytest.approx(0.124765, abs=2e-6)
    assert here.ln_mean == pytest.approx(0.0, abs=1e-9)


def test_many_readings_of_one_glass_are_what_normals_with_a_common_part_give() -> None:
    """Against the general formula: the mean with weights w has the variance w' C w, for all three kinds."""
    times = (1.5, 1.7, 2.0, 2.2, 2.4)
    events = [said("glass", 11.5 + i / 2, times=one) for i, one in enumerate(times)]
    events += [said("looked", 15.1, seen="doubled"), said("looked", 15.2, seen="well-over")]
    events += [said("poked", 15.3, springs="slowly"), said("poked", 15.4, springs="stays")]
    here = seen(15.6, *events)
    by = [0.15 * (4 + i / 2) for i in range(5)]
    press, load = step_mark(PLAN, "press"), step_mark(PLAN, "load")
    groups = [
        (
            [math.log((x - 1) / p) for x, p in zip(times, by, strict=True)],
            [glass_sd(x) for x in times],
            [height_sd(x) for x in times],
        ),
        ([math.log(0.75 * press / (0.15 * 7.6)), math.log(press / (0.15 * 7.7))], [0.30, 0.30], [0.30, 0.30]),
        ([math.log(load / (0.15 * 7.8)), math.log(1.25 * load / (0.15 * 7.9))], [0.25, 0.25], [0.25, 0.25]),
    ]
    leads = [[((x - 1) / x) ** 2 for x in times], [1.0, 1.0], [1.0, 1.0]]
    precision, pull = 1 / PRIOR_SD**2, 0.0
    for (ratios, sds, of_kind), lead in zip(groups, leads, strict=True):
        shared = 0.85 * np.array(of_kind)
        matrix = np.outer(shared, shared) + np.diag(np.array(sds) ** 2 - shared**2)
        weights = np.array(lead) / sum(lead)
        known = 1 / float(weights @ matrix @ weights)
        precision += known
        pull += known * float(weights @ np.array(ratios))
    assert here.ln_mean == pytest.approx(pull / precision, abs=1e-6)
    assert here.ln_sd == pytest.approx(precision**-0.5, abs=1e-6)


def test_the_tenth_look_at_a_glass_says_hardly_more_than_the_third() -> None:
    sds = [seen(15.6, *(said("glass", 15 + i / 20, times=2.2) for i in range(many))).ln_sd for many in (1, 3, 10)]
    assert sds[0] > sds[1] > sds[2] > 0.085, "never surer than what all readings have in common"
    assert (sds[1] - sds[2]) < (sds[0] - sds[1])


def test_what_is_far_off_counts_as_a_student_t_would_let_it_and_asks_for_a_second_look() -> None:
    """A plan that is sure (0.1): the glass at 3.4 says 2.4 where there should be 0.6, ln 4 = 1.39, z = 8.8."""
    sure = plan_with(0.1)
    here = seen(11.6, said("glass", 11.5, times=3.4), plan=sure)
    sd = glass_sd(3.4)
    z2 = math.log(4.0) ** 2 / (sd**2 + 0.01)
    assert z2 > 9
    weight = 5 / (4 + z2) / sd**2
    assert here.ln_mean == pytest.approx(math.log(4.0) * weight / (weight + 100), abs=1e-9)
    assert here.outside == ("again",)
    assert "again" not in seen(11.6, said("glass", 11.5, times=1.7), plan=sure).outside


@pytest.mark.parametrize(
    "event",
    [
        said("glass", 7.6, times=3.0),  # progress 0.015: too early
        said("glass", 7.0, times=3.0),  # before mixing
        said("looked", 14, seen="a newer word"),
        said("poked", 14, springs=""),
    ],
)
def test_what_says_nothing_changes_nothing_and_is_said_to_be_too_soon(event: Event) -> None:
    here = seen(15, event)
    assert (here.ln_mean, here.factor, here.outside) == (0.0, 1.0, ("soon",))


def test_what_is_seen_later_than_now_is_not_known_yet() -> None:
    assert seen(11, said("glass", 11.5, times=2.5), said("looked", 12, seen="hardly"),
                said("poked", 12, springs="stays")).outside == ()  # fmt: skip


def test_a_glass_read_with_the_tray_in_the_oven_says_nothing() -> None:
    baked = [done("press", 16.9), done("top", 18.8), done("load", 18.95)]
    assert seen(19.2, *baked, said("glass", 19.1, times=3.0)).factor == 1.0


def test_a_glass_that_has_not_moved_says_slow_but_weakly() -> None:
    here = seen(15.6, said("glass", 15.5, times=1.0))
    sd = glass_sd(1.05)
    assert here.ln_mean == pytest.approx(math.log(0.05 / 1.2) * _student(0.05 / 1.2, sd) / (
        _student(0.05 / 1.2, sd) + 1 / PRIOR_SD**2), abs=1e-9)  # fmt: skip
    assert here.factor < 1


def _student(ratio: float, sd: float) -> float:
    z2 = math.log(ratio) ** 2 / (sd**2 + PRIOR_SD**2)
    return (5 / (4 + z2) if z2 > 9 else 1.0) / sd**2


def test_a_plan_of_before_is_as_sure_as_its_band_says() -> None:
    plan = replace(PLAN, rise=replace(PLAN.rise, sd=0.0, band_high=math.exp(Z_80 * 0.25)))
    assert look(plan, 12, MIXED).ln_sd == pytest.approx(0.25, abs=1e-9)
    exact = replace(PLAN, rise=replace(PLAN.rise, sd=0.0, band_low=1.0, band_high=1.0))
    assert look(exact, 12, MIXED).ln_sd == pytest.approx(0.02), "no plan is surer than that"


def test_a_plan_without_marks_learns_from_the_glass_alone() -> None:
    bare = replace(PLAN, steps=tuple(replace(one, mark=None) for one in PLAN.steps))
    assert (
        look(bare, 15.6, MIXED, said("looked", 15.5, seen="hardly"), said("poked", 15.5, springs="stays")).factor == 1.0
    )
    none = replace(PLAN, steps=())
    assert look(none, 15.6, said("looked", 15.5, seen="hardly"), said("poked", 15.5, springs="stays")).factor == 1.0


def test_the_past_is_recomputed_with_the_estimate() -> None:
    """A glass half as far on again, ten minutes before pressing: early, best and past are so much sooner."""
    here = seen(16.7, said("glass", 16.6, times=1 + 1.5 * 0.15 * 9.1))
    press = step(here, "press")
    for at, mark in zip((press.early_at, press.best_at, press.past_at), (1.02, 1.36, 2.28), strict=True):
        assert at == pytest.approx(hour(7.5 + mark / (0.15 * here.factor)), abs=2)
    assert press.early_at < hour(13), "long ago, and by the plan it would have been 14:16"


def test_right_after_a_mark_the_band_is_about_a_sixth_either_way_and_grows_with_what_is_to_come() -> None:
    here = seen(15.5, said("glass", 15.5, times=2.2))
    spread = math.exp(Z_80 * here.ln_sd)
    assert spread == pytest.approx(1.16, abs=0.02)
    assert here.progress_high == pytest.approx(here.progress * spread, rel=1e-9)
    assert here.progress_low == pytest.approx(here.progress / spread, rel=1e-9)
    load = step(here, "load")
    to_come = 0.12 * (11.4166667 - 8) / 11.4166667  # of the hours from 07:30 to loading at 18:55, eight are over
    assert load.progress_high / load.progress == pytest.approx(
        math.exp(Z_80 * math.hypot(here.ln_sd, to_come)), rel=1e-6
    )
    assert here.curve[4].high / here.curve[4].progress == pytest.approx(spread), "of the past as sure as of now"
