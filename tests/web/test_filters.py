"""Words for times, amounts and warmth, checked against the definitions of the units and the laws about summer time."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.samples import DAY, at, sample_kitchen, sample_plan
from webapp.core.kitchen import Kitchen
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.web import filters
from webapp.words.kinds.pans import feeds, loading_words
from webapp.words.pages.shared_plan import share_text

OUNCES = replace(Kitchen(), mass_unit="oz", heat_unit="F")

# Directive 2000/84/EC: summer time ends on the last Sunday of October at 01:00 UTC, begins on the last of March, 01:00.
EU_BACK = 1792890000  # 2026-10-25T01:00:00Z
EU_FORTH = 1774746000  # 2026-03-29T01:00:00Z
# US Energy Policy Act of 2005, section 110: back on the first Sunday of November at 2:00 local, 06:00 UTC in New York.
US_BACK = 1793512800  # 2026-11-01T06:00:00Z


def spaced(text: str) -> str:
    """With ordinary spaces, to be read here."""
    return text.replace("\u00a0", " ")


def test_a_number_and_its_unit_stay_on_one_line() -> None:
    said = [filters.grams(336.0), filters.grams(336.0, OUNCES), filters.heat(21.0), filters.heat(21.0, OUNCES),
            filters.percent(2.5), filters.duration(2400), filters.duration(180000)]  # fmt: skip
    assert [text.split(" ") for text in said] == [[text] for text in said[:-1]] + [said[-1].split(" ")]
    assert said[-1].split(" ") == ["2\u00a0days", "2\u00a0h"]
    assert filters.held("Stir 3.2 g of salt into 1 kg at 21 °C for 20 minutes, 5 %.") == (
        "Stir 3.2\u00a0g of salt into 1\u00a0kg at 21\u00a0°C for 20 minutes, 5\u00a0%."
    )


def test_times_are_those_of_the_zone() -> None:
    assert filters.clock(at(19, 30), "Europe/Lisbon") == "19:30"
    assert filters.clock(at(19, 30), "Europe/Berlin") == "20:30"
    assert filters.clock(at(19, 30), "Asia/Kolkata") == "01:00"
    assert filters.clock(at(19, 30), "America/New_York", "12") == "2:30 pm"


@pytest.mark.parametrize(("hour", "said"), [(0, "12:05 am"), (1, "1:05 am"), (12, "12:05 pm"), (13, "1:05 pm")])
def test_twelve_hour_clocks_begin_with_twelve(hour: int, said: str) -> None:
    assert filters.clock(at(hour, 5), "UTC", "12") == said


def test_a_time_that_comes_twice_says_which_one() -> None:
    assert filters.clock(EU_BACK - 1800, "Europe/London") == "01:30 (first time)"
    assert filters.clock(EU_BACK + 1800, "Europe/London") == "01:30 (second time)"
    assert filters.clock(US_BACK - 1800, "America/New_York") == "01:30 (first time)"
    assert filters.clock(US_BACK + 1800, "America/New_York") == "01:30 (second time)"


def test_an_hour_before_and_after_the_change_nothing_is_said() -> None:
    assert filters.clock(EU_BACK - 5400, "Europe/London") == "00:30"
    assert filters.clock(EU_BACK + 5400, "Europe/London") == "02:30"


def test_in_spring_the_clock_jumps_and_no_time_comes_twice() -> None:
    assert filters.clock(EU_FORTH - 60, "Europe/London") == "00:59"
    assert filters.clock(EU_FORTH, "Europe/London") == "02:00"


def test_days_near_by_have_their_own_names() -> None:
    now = at(12)
    names = [filters.day_name(DAY + n * 86400, "UTC", now) for n in (-2, -1, 0, 1, 2, 6, 7)]
    assert names == ["Monday 23 November", "yesterday", "today", "tomorrow", "Friday", "Tuesday",
                     "Wednesday 2 December"]  # fmt: skip


def test_tomorrow_is_a_matter_of_the_kitchens_midnight() -> None:
    assert filters.day_name(at(23, 30), "Europe/Lisbon", at(20)) == "today"
    assert filters.day_name(at(23, 30), "Europe/Berlin", at(20)) == "tomorrow"


def test_today_goes_without_saying() -> None:
    assert filters.day_clock(at(19, 30), "UTC", "24", at(8)) == "19:30"
    assert filters.day_clock(at(31, 15), "UTC", "24", at(8)) == "tomorrow 07:15"
    assert filters.day_clock(at(19, 30), "UTC") == "Wednesday 25 November 19:30"


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (0, "less than a minute"), (29, "less than a minute"), (30, "1 min"), (2700, "45 min"), (3600, "1 h"),
        (8100, "2 h 15 min"), (3599, "1 h"), (47 * 3600, "47 h"), (50 * 3600, "2 days 2 h"), (72 * 3600, "3 days"),
        (-600, "10 min"),
    ],
)  # fmt: skip
def test_durations_are_words(seconds: int, said: str) -> None:
    assert spaced(filters.duration(seconds)) == said


def test_small_amounts_keep_their_decimals_and_big_ones_do_not() -> None:
    assert [spaced(filters.grams(g)) for g in (0.58, 4.999, 10.5, 14.0, 335.9, 1200)] == [
        "0.58 g", "5 g", "10.5 g", "14 g", "336 g", "1200 g"]  # fmt: skip


def test_ounces_are_the_avoirdupois_ounce() -> None:
    """28.349523125 g by definition (international yard and pound agreement of 1959); a pound is 16 of them."""
    assert spaced(filters.grams(453.59237, OUNCES)) == "16 oz"
    assert spaced(filters.grams(28.349523125 / 4, OUNCES)) == "0.25 oz"


def test_fahrenheit_agrees_with_celsius_at_the_fixed_points() -> None:
    """Water freezes at 32 F and boils at 212 F; the scales meet at -40 (NIST SP 811, appendix B.8)."""
    assert [spaced(filters.heat(c, OUNCES)) for c in (0, 100, -40)] == ["32 °F", "212 °F", "-40 °F"]
    assert spaced(filters.heat(21.4)) == "21 °C"


def test_pans_are_measured_as_their_owner_measures() -> None:
    """A 12 x 12 inch pan is 144 square inches and 929.0304 cm2 (1 inch = 2.54 cm)."""
    assert filters.area(929.0304, OUNCES) == "144 in²"
    assert filters.area(929.0304) == "929 cm²"


@pytest.mark.parametrize(
    ("area_cm2", "said"),
    [
        (math.pi * 12.7**2, "1"),  # a round of 10 inches is one person's
        (math.pi * 15.24**2, "1 or 2"),  # one of 12 inches is shared by two, or had by one who is hungry
        (45.7 * 33.0, "3 or 4"),  # a half sheet, 18 x 13 inches
        (2 * 45.7 * 33.0, "5 to 8"),  # a full sheet: twice that
        (math.pi * 5.0**2, "1"),  # never for nobody
    ],
)
def test_a_pan_says_for_how_many_it_is_supper(area_cm2: float, said: str) -> None:
    """What is served of such a size is common practice in English-speaking kitchens (from memory)."""
    assert feeds(area_cm2) == said


@pytest.mark.parametrize(("value", "said"), [(70.0, "70 %"), (2.25, "2.3 %"), (0.12, "0.12 %"), (0.5, "0.5 %")])
def test_percents_keep_what_matters(value: float, said: str) -> None:
    assert spaced(filters.percent(value)) == said


def test_loadings_agree_with_the_trade_press_in_both_units() -> None:
    """0.0619 oz/in2 is 0.272 g/cm2 (a trade-press sauce weight, converted by the definitions of ounce and inch)."""
    assert loading_words(0.272) == "0.27 g on each cm²"
    assert loading_words(0.272, "oz") == "0.06 oz on each in²"
    assert filters.loading_mass(4.394, OUNCES) == "1.00 oz"
    assert filters.loading_sentence(4.394, OUNCES) == "1.00 oz of dough on each square inch of the tray"
    assert filters.loading_sentence(0.7, Kitchen()) == "0.70 g of dough on each square centimetre of the tray"


def test_short_days_and_sentences_change_nothing_else() -> None:
    assert filters.short_day(at(19, 30), "UTC") == "Wed 25 Nov"
    assert filters.sentence("wednesday 25 November") == "Wednesday 25 November"
    assert filters.sentence("") == ""


def test_machine_time_is_iso_8601_in_utc() -> None:
    assert filters.machine_time(at(19, 30)) == "2026-11-25T19:30:00Z"


def test_steps_come_in_order_of_time_with_the_wait_for_the_next_of_the_chain() -> None:
    plan = sample_plan()
    lines = filters.step_rows(plan, retime(plan, fold(plan, ()), plan.made_at))
    assert [timed.start for _, timed, _ in lines] == sorted(timed.start for _, timed, _ in lines)
    waits = {step.step_id: wait for step, _, wait in lines}
    assert waits["mix"] == 9 * 3600 + 15 * 60  # to pressing
    assert waits["press"] == 110 * 60  # to the topping; the oven, lit in between, is not of the chain
    assert waits["preheat"] == 0


def test_two_steps_done_in_the_same_minute_have_no_wait_between_and_the_wait_is_told_of_where_the_dough_is() -> None:
    """A dough is mixed and put into the fridge at once, long before its plan: nobody may read that it waits on the
    bench for the day that it is in the fridge."""
    plan = sample_plan()
    mix = next(one for one in plan.steps if one.kind == "mix")
    cold = replace(mix, step_id="cold", kind="to-fridge", place="fridge", start=mix.end + 3600, end=mix.end + 3720)
    mix = replace(mix, place="bench")
    steps = (*(mix if one.kind == "mix" else one for one in plan.steps), cold)
    plan = replace(plan, steps=tuple(sorted(steps, key=lambda one: one.start)))
    early = mix.start - 6 * 3600
    said = [
        Event(f"{n:032x}", plan.bake_id, early, early + n, "p", "done", {"step_id": one})
        for n, one in enumerate((mix.step_id, "cold"))
    ]
    rows = filters.step_rows(plan, retime(plan, fold(plan, said), early + 60))
    found = {step.step_id: (place, step.place, wait) for place, (step, _, wait) in enumerate(rows)}
    assert found[mix.step_id][2] == 0
    assert found["cold"][0] == found[mix.step_id][0] + 1, "the one after the other"
    assert found["cold"][1] == "fridge"
    assert found["cold"][2] > 6 * 3600


def test_what_is_shared_names_supper_and_the_steps_that_ring() -> None:
    plan = sample_plan()
    said = share_text(plan, retime(plan, fold(plan, ()), plan.made_at)).splitlines()
    assert said[0] == plan.title
    assert said[1] == "Supper Wednesday 25 November 19:30"
    assert len(said) == 2 + sum(step.rings for step in plan.steps)


def test_a_plan_without_a_journal_is_charted_as_planned() -> None:
    view = filters.tide_of(sample_plan(), None, sample_kitchen())
    assert [r.start for r in view.retimed.steps] == [s.start for s in sample_plan().steps]
    assert "tide--small" in view.picture("small", "a")


def test_the_steps_of_one_load_stand_together() -> None:
    plan = sample_plan()
    rows = filters.step_rows(plan, retime(plan, fold(plan, ()), plan.made_at))
    kinds = [("press", 1), ("press", 2), ("top", 1), ("load", 1), ("lift", 1), ("top", 2), ("lift", 2), ("serve", 0)]
    named = [replace(rows[0][0], kind=kind, load=load) for kind, load in kinds]
    runs = filters.by_load([(step, rows[0][1], 0) for step in named])
    assert [(load, len(run)) for load, run in runs] == [(0, 2), (1, 3), (2, 2), (0, 1)]
    assert filters.by_load(rows) == [(0, rows)]
