"""The home page's words. Times are read off the clock of the sample day, a Wednesday in winter (UTC)."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import pytest

from tests.planning.test_full_plan import MORNING, plans, wish
from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.kinds import Place, StepKind
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, PartOfDay, Person
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.steps import ANOTHER, PlanStep
from webapp.core.plan.tray import Pan
from webapp.core.planner.offer import Change, Hindrance, InTheWay
from webapp.forms.wish import EVENINGS_KEPT
from webapp.kitchens.bakes import as_planned
from webapp.planning.tonight import day_of
from webapp.words import rests_on, tonight
from webapp.words.problems import refusal
from webapp.words.times import clock, five, wall_minute

ZONE = "Europe/Lisbon"
DAY_S = 86400
TRAY = Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0, "Oven tray")


@dataclass(frozen=True)
class Shown:
    """A day as the page has it."""

    plan: Plan
    retimed: Retimed
    home_by: int
    from_away: bool = True
    met: StepKind = "press"
    between: tuple[int, int] | None = None
    proofs: tuple[int, int] | None = None


def shown(from_away: bool = True, **changes: object) -> Shown:
    plan = replace(sample_plan(), **changes)  # type: ignore[arg-type]
    return Shown(plan, as_planned(plan).retimed, at(17, 50), from_away)


@pytest.mark.parametrize(
    ("supper", "name"),
    [
        (at(19, 30), "Tonight"), (at(24, 30), "Tomorrow"), (at(12, 30), "Today"),
        (at(19, 30) + DAY_S, "Tomorrow"), (at(19, 30) + 3 * DAY_S, "Saturday"),
    ],
)  # fmt: skip
def test_the_evening_has_the_name_that_people_give_it(supper: int, name: str) -> None:
    assert tonight.evening_name(supper, ZONE, at(6, 50)) == name
    within = name if name == "Saturday" else name.lower()  # of these, the name of a weekday alone is a name
    assert tonight.evening_within(supper, ZONE, at(6, 50)) == within


def test_in_a_row_of_buttons_far_evenings_have_their_date() -> None:
    rows = [tonight.short_evening(at(19, 30) + i * DAY_S, ZONE, at(6, 50)) for i in range(3)]
    assert rows == ["Tonight", "Tomorrow", "Fri 27"]


@pytest.mark.parametrize(("minute", "said"), [(14, 15), (12, 10), (13, 15), (0, 0)])
def test_a_time_is_said_to_the_nearest_five_minutes(minute: int, said: int) -> None:
    assert five(at(7, minute)) == at(7, said)


@pytest.mark.parametrize(
    ("pans", "said"),
    [
        ([TRAY], "Oven tray"), ([replace(TRAY, count=2)], "2 × Oven tray"),
        ([Pan("p", "Blue tin", "round", 600.0), TRAY], "Blue tin and Oven tray"),
        ([replace(TRAY, called="")], "Oven tray 38 x 28 cm"),  # an older version wrote no more than that
    ],
)  # fmt: skip
def test_pans_go_by_their_names_without_their_sizes(pans: list[Pan], said: str) -> None:
    assert rests_on.pans_words(pans) == said


def test_the_kitchen_is_told_from_the_coolest_part_of_its_day_to_the_warmest() -> None:
    assert rests_on.warmth_words(Kitchen()) == "kitchen 18–21 °C"
    assert rests_on.warmth_words(Kitchen(), "today") == "kitchen 18–21 °C today"
    assert rests_on.warmth_words(Kitchen(room=(PartOfDay(0, 25.0),), heat_unit="F")) == "kitchen 77 °F"


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ([("Me", [AwaySpan(480, 1065)])], "home from 17:45"),
        ([("Me", [])], "home all day"),
        ([("Me", [AwaySpan(1200, 1260)])], "home all day"),  # out after supper
        ([("Me", [AwaySpan(480, 1065)]), ("Kit", [AwaySpan(480, 960)])], "Kit home from 16:00"),
        ([("Me", [AwaySpan(480, 1065)]), ("Kit", [])], "Kit home all day"),
    ],
)
def test_who_is_home_first_is_told(hours: list[tuple[str, list[AwaySpan]]], said: str) -> None:
    assert rests_on.who_words(hours, 19 * 60 + 30, wall_minute) == said


def test_somebody_else_who_is_there_that_day_is_told_beside_the_house() -> None:
    hours = [("Me", [AwaySpan(480, 1065)])]
    said = rests_on.who_words(hours, 19 * 60 + 30, wall_minute, 16 * 60)
    assert said == "home from 17:45, somebody else from 16:00"


def so_much(plan: Plan, times: float, later_s: int = 0, method: str = "", place: Place = "bench") -> Plan:
    """The same with so many times the yeast, mixed so much later, in another way that keeps the dough there."""
    return replace(
        plan,
        lines=tuple(replace(one, weigh_g=one.weigh_g * (times if one.kind == "yeast" else 1)) for one in plan.lines),
        steps=tuple(
            replace(one, start=one.start + later_s, place=place) if one.kind == "mix" else one for one in plan.steps
        ),
        trade=replace(plan.trade, method=method or plan.trade.method, method_name=method or plan.trade.method_name),
    )


@pytest.mark.parametrize(
    ("now", "apart_c", "said"),
    [
        (so_much(sample_plan(), 0.5), 4.0, "Warmer than usual: about 50 % less yeast."),
        (so_much(sample_plan(), 1.33), -3.0, "Cooler than usual: about 35 % more yeast."),
        (so_much(sample_plan(), 0.75, 1800), 2.0,
         "Warmer than usual: about 25 % less yeast, mixed at 07:45, not 07:15."),
        (so_much(sample_plan(), 0.75, -300), 2.0, "Warmer than usual: about 25 % less yeast."),
        (so_much(sample_plan(), 1.01), 2.0, "Warmer than usual: yeast and hours stay."),
        (so_much(sample_plan(), 9.0, 0, "Cold", "fridge"), 6.0, "Warmer than usual: the dough waits in the fridge."),
        (so_much(sample_plan(), 9.0, 0, "By night"), 2.0,
         f"Warmer than usual: “By night” suits it better than “{sample_plan().trade.method_name}”."),
        (so_much(sample_plan(), 0.5), 0.4, ""),
    ],
)  # fmt: skip
def test_what_a_warmer_kitchen_did_is_said_in_a_line(now: Plan, apart_c: float, said: str) -> None:
    assert rests_on.effect_words(now, sample_plan(), apart_c, "24") == said


def test_a_dough_that_needs_the_fridge_no_more_is_told_to_wait_on_the_bench() -> None:
    cold = so_much(sample_plan(), 1.0, 0, "Cold", "fridge")
    assert rests_on.effect_words(sample_plan(), cold, -2.0, "24").endswith("waits on the bench, not in the fridge.")


def lines(day: Shown, now: int = at(6, 50)) -> list[tuple[str, str]]:
    return [(line.label, ", ".join(line.said)) for line in tonight.day_lines(day, "24", now)]


def test_the_day_is_told_in_the_order_in_which_it_happens_with_the_latest_beside_what_one_comes_home_to() -> None:
    assert lines(shown()) == [
        ("This morning", "07:15 mix"),
        ("This afternoon", "16:45 press out (home by 17:50 at the latest)"),
        ("Tonight", "18:10 oven on, 18:55 bake"),
    ]


def test_where_coming_home_as_late_as_that_passes_other_steps_it_says_what_becomes_of_them() -> None:
    """Out of the fridge at 16:00, pressed out at 16:45, home by 17:50 at the latest: the pressing is later then."""
    mix, *rest = sample_plan().steps
    out = replace(mix, step_id="temper", kind="temper", start=at(16), end=at(16, 5))
    day = replace(shown(steps=(mix, out, *rest)), met="temper")
    said = [one for line in tonight.day_lines(day, "24", at(6, 50)) for one in line.said]
    assert said[1] == "16:00 dough out (home by 17:50 at the latest: the rest moves, supper stays)"
    assert [one[:5] for one in said] == sorted(one[:5] for one in said), "as it happens"


def test_what_is_done_at_once_is_one_line_of_the_day_and_what_is_not_has_its_own() -> None:
    """Into the fridge as soon as it is mixed; out of it, and pressed out at once."""
    mix, press, *rest = sample_plan().steps
    chill, out = (
        replace(mix, step_id=kind, kind=kind, start=start, end=start + 300)
        for kind, start in (("chill", mix.end + 600), ("temper", press.start - 600))
    )
    day = replace(shown(steps=(mix, chill, out, press, *rest)), met="temper")
    assert lines(day)[0] == ("This morning", "07:15 mix, fridge 07:40")
    said = "16:35 dough out, press out (home by 17:50 at the latest)"
    assert lines(day)[1] == ("This afternoon", said), "late for both at once, so nothing after them moves"
    met = [one for line in tonight.day_lines(replace(day, met="press"), "24", at(6, 50)) for one in line.said]
    assert met[1:3] == ["16:35 dough out", "16:45 press out (home by 17:50 at the latest)"]
    later = replace(chill, start=chill.start + 60, end=chill.end + 60)
    assert lines(shown(steps=(mix, later, press, *rest)))[0] == ("This morning", "07:15 mix, 07:41 into the fridge")


def test_the_second_go_of_a_tray_that_was_pressed_cold_stands_beside_the_first() -> None:
    """It belongs to the same visit, whatever of the oven comes between, and moves with the first: where it is at a
    quarter past five, coming home at ten to six moves nothing else. Whoever lights the oven at ten past six needs no
    other time to be in the kitchen from six to twenty past."""
    mix, press, *rest = sample_plan().steps

    def day(hour: int, minute: int, *more: PlanStep) -> Shown:
        start = at(hour, minute)
        second = replace(press, step_id="relax", kind="relax", start=start, end=start + 300, mark=None)
        return shown(steps=(mix, *more, press, second, *rest))

    home = "(home by 17:50 at the latest)"
    for hour, minute in ((17, 15), (18, 21), (18, 40)):
        said = f"16:45 press out {home}, again {hour}:{minute}"
        assert lines(day(hour, minute))[1] == ("This afternoon", said)
    assert lines(day(18, 40))[2:] == lines(shown())[2:], "and is no line of its own"
    assert lines(day(18, 0)) == lines(day(18, 20)) == lines(shown())
    out = replace(mix, step_id="temper", kind="temper", start=at(16, 35), end=at(16, 40))
    both = replace(day(17, 15, out), met="temper")
    assert lines(both)[1] == ("This afternoon", f"16:35 dough out, press out {home}, again 17:15")


def test_by_when_to_be_there_stands_beside_the_time_that_it_is_of() -> None:
    """Mixed at once on coming home: "by then" is of the mixing, not of the fridge half an hour later."""
    mix, *rest = sample_plan().steps
    chill = replace(mix, step_id="chill", kind="chill", start=mix.end + 600, end=mix.end + 900)
    day = replace(shown(steps=(mix, chill, *rest)), met="mix", home_by=mix.start)
    assert lines(day)[0] == ("This morning", "07:15 mix (home by then), fridge 07:40")


def test_out_of_the_warm_spot_and_pressed_out_is_one_visit_too() -> None:
    mix, press, *rest = sample_plan().steps
    out = replace(mix, step_id="warm-out", kind="warm-out", start=at(16, 40), end=at(16, 45))
    day = replace(shown(steps=(mix, out, press, *rest)), met="warm-out")
    assert lines(day)[1] == ("This afternoon", "16:40 dough out, press out (home by 17:50 at the latest)")


def test_whose_it_is_and_how_late_it_may_be_stand_in_one_pair_of_brackets() -> None:
    steps = tuple(replace(one, who=(ANOTHER,)) if one.kind == "press" else one for one in sample_plan().steps)
    said = ("This afternoon", "16:45 press out (somebody else; home by 17:50 at the latest)")
    assert lines(shown(steps=steps))[1] == said


def test_who_is_there_all_day_is_told_what_has_to_begin_by_then() -> None:
    assert lines(shown(from_away=False))[1] == ("This afternoon", "16:45 press out (17:50 at the latest)")
    assert lines(replace(shown(from_away=False), home_by=at(16, 45)))[1] == ("This afternoon", "16:45 press out")
    assert lines(replace(shown(from_away=False), met="fold"))[-1] == ("Go on by", "17:50 at the latest")
    assert lines(replace(shown(), met="fold"))[-1] == ("Home by", "17:50 at the latest")


def test_the_latest_to_be_home_says_its_day_when_that_is_not_the_day_of_supper() -> None:
    told = lines(replace(shown(), home_by=at(-3)), at(6, 50) - 2 * DAY_S)
    assert ("Afternoon", "16:45 press out (home by Tuesday 21:00 at the latest)") in told


def test_what_goes_on_top_is_said_with_the_dough() -> None:
    assert rests_on.dough_words("Tray pizza", "Tomato and cheese") == "Tray pizza with tomato and cheese"
    assert rests_on.dough_words("Focaccia", "") == "Focaccia, nothing on top"


def test_on_the_day_of_a_later_supper_the_part_of_the_day_is_enough() -> None:
    assert [label for label, _ in lines(shown(), at(6, 50) - DAY_S)] == ["Morning", "Afternoon", "Evening"]


def test_what_begins_within_ten_minutes_is_now_and_the_rest_keeps_its_part_of_the_day() -> None:
    for early, label in ((11, "This morning"), (10, "Now"), (0, "Now")):
        told = lines(shown(), at(7, 15 - early))
        assert [said for said, _ in told] == [label, "This afternoon", "Tonight"], early


def test_work_on_the_eve_of_supper_says_which_day_that_is() -> None:
    plan = sample_plan()
    eve = tuple(replace(s, start=at(-3), end=at(-3, 15)) if s.kind == "mix" else s for s in plan.steps)
    assert lines(shown(steps=eve), at(6, 50) - 2 * DAY_S)[0] == ("Tomorrow", "21:00 mix")


def moved(by_min: dict[str, int], supper: int, method: str = "bench-day") -> Plan:
    """The sample plan (mixing 07:15, pressing 16:45, loading 18:55) with steps so many minutes later."""
    plan = sample_plan()
    steps = tuple(replace(one, start=one.start + 60 * by_min.get(one.kind, 0)) for one in plan.steps)
    trade = replace(plan.trade, method=method, method_name="Cold in the fridge")
    return replace(plan, steps=steps, supper=supper, trade=trade)


@pytest.mark.parametrize(
    ("plan", "why"),
    [
        (moved({"mix": -35}, at(19, 45), "cold"),
         "“Cold in the fridge” suits this later hour best, and it takes longer."),
        (moved({"mix": -30, "load": 60}, at(20, 30)), "here it rises longer, in the bowl and in the tray."),
        (moved({"mix": -30, "press": 60, "load": 60}, at(20, 30)), "so the waits suit the dough and your hours best."),
    ],
)  # fmt: skip
def test_a_later_supper_that_is_mixed_sooner_says_why(plan: Plan, why: str) -> None:
    usual = replace(sample_plan(), trade=replace(sample_plan().trade, method="bench-day"))
    assert tonight.sooner_words(plan, usual, "24") == f"You begin sooner than for supper at 19:30: {why}"
    assert tonight.sooner_words(moved({"load": 60}, at(20, 30)), usual, "24") == ""


def test_a_bake_on_the_go_that_is_late_tells_the_one_time_that_all_pages_tell() -> None:
    late = replace(shown().retimed, current="", ready_at=at(19, 42), eat_at=at(19, 45))
    assert tonight.doing(late, sample_plan(), "24", at(7)) == "supper 19:45"


def test_a_bake_on_the_go_tells_what_is_next_and_when_supper_is() -> None:
    day = shown()
    assert tonight.doing(day.retimed, day.plan, "24", at(7)) == "07:15: Mix the dough; supper 19:30"
    assert tonight.doing(day.retimed, day.plan, "24", at(7, 20)) == "now: Mix the dough; supper 19:30"
    assert tonight.doing(replace(day.retimed, current=""), day.plan, "24", at(7)) == "supper 19:30"
    by_mixing = replace(day, met="mix", home_by=at(7, 15))
    said = tonight.doing(day.retimed, day.plan, "24", at(6), by_mixing)
    assert said == "07:15: Mix the dough (home by then); supper 19:30", "no hour is named twice"


def test_a_dough_that_nobody_put_into_the_fridge_by_a_tap_is_asked_about_before_any_supper_is_told() -> None:
    """Due at 07:30: for an hour it may be on its way; then it is there or it is not, and supper hangs on that."""
    day = shown()
    mix = next(step for step in day.plan.steps if step.kind == "mix")
    chill = replace(mix, step_id="chill", kind="chill", start=at(7, 30), end=at(7, 35), title="Dough into the fridge")
    plan = replace(day.plan, steps=(*day.plan.steps, chill))
    timed = replace(day.retimed.steps[0], step_id="chill", start=at(7, 30))
    stands = replace(day.retimed, current="chill", steps=(*day.retimed.steps, timed))
    assert tonight.doing(stands, plan, "24", at(8, 30)).endswith("supper 19:30")
    late = replace(stands, steps=(*day.retimed.steps, replace(timed, start=at(17, 55))), eat_at=at(23, 30))
    assert tonight.doing(late, plan, "24", at(17, 55)) == ("Has it been in the fridge since 07:30?")


def test_coming_late_moves_supper_and_the_dough_has_a_clock_of_its_own() -> None:
    words = tonight.latest_words(shown(), "24")
    assert words.startswith("Until 17:50 supper stays at 19:30. Later than that, supper moves; the dough itself")
    assert words.endswith("sooner when it is a quick one.")
    come = replace(shown(), between=(at(15, 58), at(17, 50)))
    assert tonight.latest_words(come, "24").startswith(f"{tonight.come_words(come, '24')} Later than that, supper")


def test_once_a_later_supper_is_agreed_it_is_that_one_which_stays() -> None:
    """A way was taken at the bench, to eat at a quarter to ten: who comes in time for that eats then."""
    day = shown()
    day = replace(day, home_by=at(20, 25), retimed=replace(day.retimed, supper=at(21, 45)))
    assert "Until 20:25 supper stays at 21:45." in tonight.latest_words(day, "24")
    come = replace(day, between=(at(15, 15), at(20, 25)))
    assert tonight.come_words(come, "24") == "Come between 15:15 and 20:25: supper stays at 21:45."


def test_between_when_and_when_to_come_is_one_sentence_and_what_is_shorter_then_the_next() -> None:
    """Pressed out at 16:45 it proofs for 110 minutes; at 17:50, 65 minutes later, for the other 45."""
    day = replace(shown(), between=(at(15, 58), at(17, 50)), proofs=(6600, 2700))
    stays = "between 16:00 and 17:50: supper stays at 19:30."
    proofs = "From 16:45 it proofs 1 h 50 min in the pan, from 17:50 only 45 min."
    assert tonight.come_words(day, "24").replace("\u00a0", " ") == f"Come {stays} {proofs}"
    at_home = replace(day, from_away=False, proofs=None)
    assert tonight.come_words(at_home, "24") == f"Press out {stays}"
    assert tonight.come_words(replace(at_home, between=None), "24") == ""
    night = replace(day, between=(at(3), at(17, 50)), proofs=None)
    assert tonight.come_words(night, "24") == "Come by 17:50: supper stays at 19:30.", "nobody comes at three"


def hindered(*why: Hindrance) -> tuple[InTheWay, ...]:
    return tuple(InTheWay(f"way-{i}", f"Way {i}", one) for i, one in enumerate(why))


def test_of_ways_that_are_all_too_long_the_quickest_is_named() -> None:
    why = hindered(Hindrance("too-long", 7 * 3600, 3600), Hindrance("too-long", 5400, 3600))
    assert refusal.one_reason(why, sample_kitchen()) == "The quickest way takes 1 h 30 min; supper is in 1 h."
    yeast = (*why, *hindered(Hindrance("yeast", least_percent=0.01, most_percent=2.0)))
    said = "That is too soon for a dough to rise: supper is in 1 h."
    assert refusal.one_reason(yeast, sample_kitchen()) == said, "a way is quick enough, and no dough is"


def test_what_keeps_out_a_way_that_is_quick_enough_is_the_reason() -> None:
    why = hindered(Hindrance("waits"), Hindrance("too-long", 7 * 3600, 3600), Hindrance("hours"))
    assert refusal.one_reason(why, sample_kitchen()) == "Your hours leave no room for it."


def test_why_not_at_that_hour_is_said_shorter_than_why_nothing_fits() -> None:
    busy = hindered(Hindrance("busy-hours", busy=("away", "asleep")))
    whole = refusal.one_reason(busy, sample_kitchen())
    assert whole == "You are away or asleep when the dough needs you."
    home = sample_kitchen()
    assert refusal.not_at_words("19:30", busy, whole, None, home) == "Not at 19:30: you are away or asleep."
    sooner: tuple[StepKind, int] = ("press", at(16, 35))
    said = "For 19:30 you must press out at 16:35."
    assert refusal.not_at_words("19:30", busy, whole, sooner, home) == said
    two = replace(home, people=(home.people[0], replace(home.people[0], name="Ana")))
    said = "For 19:30 somebody must press out at 16:35."
    assert refusal.not_at_words("19:30", busy, whole, sooner, two) == said
    fold: tuple[StepKind, int] = ("chill", at(16, 35))
    assert refusal.not_at_words("19:30", busy, whole, fold, two) == "For 19:30 the dough needs somebody at 16:35."
    long = hindered(Hindrance("too-long", 7920, 6000))
    quick = "Not at 19:30: the quickest way takes 2 h 12 min."
    assert refusal.not_at_words("19:30", long, refusal.one_reason(long, home), None, home) == quick
    alone = hindered(Hindrance("oven-alone", start=at(18), end=at(19)))
    whole = refusal.one_reason(alone, sample_kitchen())
    said = "Not at 19:30: nobody is free for the oven from about 18:00."
    assert refusal.not_at_words("19:30", alone, whole, None, home) == said


def test_without_any_other_reason_the_first_is_told_and_without_any_nothing() -> None:
    assert refusal.one_reason(hindered(Hindrance("no-warm-spot")), sample_kitchen()) == "This kitchen has no warm spot."
    assert refusal.one_reason((), sample_kitchen()) == ""


@pytest.mark.parametrize(
    ("minute", "said"), [(0, "12:00 am"), (750, "12:30 pm"), (1170, "7:30 pm"), (1445, "12:05 am")]
)
def test_a_minute_of_the_day_reads_as_on_a_twelve_hour_clock(minute: int, said: str) -> None:
    assert wall_minute(minute, "12") == said


def test_a_later_supper_that_would_work_is_named_by_the_clock() -> None:
    later = Change("eat-later", at(18, 30), at(20, 40))
    assert refusal.near_words(later, sample_kitchen()) == "Eat at 20:40"
    begun = replace(later, begins_at=at(17, 10))
    assert refusal.near_words(begun, sample_kitchen()) == "Eat at 20:40 (begins 17:10)", "when to mix decides it"
    assert refusal.near_words(replace(later, at=at(24, 30)), sample_kitchen()) == "Eat at Thursday 00:30"
    home = Change("home-earlier", at(18, 30), at(15))
    assert refusal.near_words(home, sample_kitchen()) == "Come home by 15:00"


def test_what_is_baked_says_how_it_is_eaten_and_for_when_there_is_more_dough() -> None:
    one = rests_on.baked_words((TRAY,), 2, False, "")
    assert one == "Oven tray 38×28\u00a0cm", "the size is what the grams come of"
    two = (replace(TRAY, count=2),)
    assert rests_on.baked_words(two, 1, False, "") == "2 × Oven tray 38×28\u00a0cm, baked one after the other"
    assert rests_on.baked_words(two, 4, False, "") == "2 × Oven tray 38×28\u00a0cm, both baked at once"
    three = rests_on.baked_words((*two, TRAY), 2, True, "1")
    assert three.endswith(", baked 2 at once, eaten as they come, as much dough again for the evening after")
    assert rests_on.baked_words((*two, TRAY), 3, False, "").endswith(", all baked at once")
    assert set(rests_on.EVENINGS_LATER) == set(EVENINGS_KEPT)


def test_every_time_that_hands_are_wanted_is_named_on_the_home_page() -> None:
    """Folds kept from the list made whoever went out between mixing and pressing out miss them. What begins within ten
    minutes of a time that is named is of one visit with it."""
    home = Kitchen(people=(Person("Me", (DayHours(),) * 7),))
    for kitchen in (Kitchen(), home):
        for plan in plans(wish(method_key=""), kitchen):
            said = " ".join(one for line in tonight.day_lines(day_of(plan), "24", MORNING) for one in line.said)
            told = [step for step in plan.steps if step.kind in tonight.TO_DO and step.load < 2]
            named = [step.start for step in told if clock(step.start, plan.zone, "24") in said]
            assert all(any(abs(step.start - when) <= 600 for when in named) for step in told), said
            hands = [step for step in plan.steps if step.presence == "hands" and step.chain]
            before = [step for step in hands if step.start < next(s.start for s in plan.steps if s.kind == "top")]
            assert {step.kind for step in before} <= set(tonight.TO_DO), said
    assert any(step.kind == "fold" for step in plans(wish(), home)[0].steps)
    assert tonight.day_lines(day_of(plans(wish(), home)[0]), "24", MORNING)[0].said == ("08:10 mix, fold 08:50, 09:20",)


def test_whoever_mixes_reads_how_long_it_is_until_the_folds_and_only_at_the_last_how_long_the_dough_waits() -> None:
    """By hand, of the times above: mixed until 08:25, folded at 08:50 and 09:20, five minutes each."""
    home = replace(sample_kitchen(), people=(Person("Me", (DayHours(),) * 7),))
    mix, first, second, *_ = (one for one in day_of(plans(wish(), home)[0]).plan.steps if one.chain)
    assert "the dough waits about 25 minutes on the bench, until it is folded." in mix.text
    assert "It waits about 25 minutes on the bench, until it is folded again." in first.text
    assert re.search(r"It waits about \d hours?( \d\d minutes)? on the bench\.", second.text), second.text
