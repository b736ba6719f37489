"""What the templates say: local times, durations in words, grams or ounces, degrees, in this kitchen's own units.

Times are written in words/times.py; nothing is computed with the result.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cached_property

from flask import Flask
from markupsafe import Markup

from webapp.core import units
from webapp.core.kinds import RESTING_PLACES, ClockStyle, HeatUnit
from webapp.core.kitchen import Kitchen
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep
from webapp.core.plan.steps import PlanStep, is_anothers
from webapp.kitchens.book import Taught
from webapp.pictures import chart, svg
from webapp.pictures.day_strip import StripStep, day_strip, strip_words
from webapp.pictures.learned import learned_picture
from webapp.pictures.reading import pairs_of
from webapp.pictures.shapes import SIZES, Local
from webapp.pictures.thinned import on_the_page
from webapp.planning import what_if
from webapp.words import learned, rests_on, tonight
from webapp.words.kinds import pans
from webapp.words.kinds.dough import yeast_word
from webapp.words.kinds.flags import PAST_BEST, flag_words, good_words
from webapp.words.kinds.outcome import outcome_said, part_word
from webapp.words.kinds.oven import oven_word
from webapp.words.kinds.places import place_word
from webapp.words.kinds.settings import setting_word
from webapp.words.learned import lesson_words
from webapp.words.lists import sentence, steps_words
from webapp.words.pages.pictures import STRIP_TITLE, chart_words
from webapp.words.pages.questions import ASKED
from webapp.words.pages.shared_plan import share_text
from webapp.words.plan import toppings, weights
from webapp.words.plan.gathered import bowls, runs, spoons_of_line
from webapp.words.plan.offers import errands_words
from webapp.words.plan.rise import taught_words
from webapp.words.plan.steps import begins, by_load, plain_title
from webapp.words.plan.weights import part_name
from webapp.words.problems.told import LEFT_OUT
from webapp.words.spoken import bake_title
from webapp.words.times import (
    HELD,
    clock,
    clock_face,
    day_clock,
    day_name,
    duration,
    five,
    held,
    local_time,
    other_clock,
    short_day,
)


def local_minute(instant: int, zone: str) -> int:
    """Minutes after local midnight, 0 to 1439."""
    local = local_time(instant, zone)
    return local.hour * 60 + local.minute


def machine_time(instant: int) -> str:
    """For `<time datetime=...>`: UTC in ISO 8601."""
    return datetime.fromtimestamp(instant, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def grams(mass_g: float, kitchen: Kitchen | None = None) -> str:
    """Mass in the kitchen's unit: "336 g", "0.58 g", "11.85 oz". Small amounts keep more decimals."""
    return units.mass_text(mass_g, "g" if kitchen is None else kitchen.mass_unit).replace(" ", HELD)


def heat(temp_c: float, kitchen: Kitchen | None = None) -> str:
    """Temperature in the kitchen's unit: "21 °C", "70 °F"; whole degrees."""
    unit = "C" if kitchen is None else kitchen.heat_unit
    return units.heat_text(temp_c, unit).replace(" ", HELD)


def percent(value: float) -> str:
    """Baker's percent: "70 %", "2.2 %", "0.12 %"."""
    places = 2 if value < 1 else 1
    return f"{units.number_text(value, places)}{HELD}%"


def area(area_cm2: float, kitchen: Kitchen | None = None) -> str:
    """Floor of a pan: "1064 cm²", or "165 in²" where ounces are weighed."""
    if kitchen is not None and kitchen.mass_unit == "oz":
        return f"{units.number_text(units.in_from_cm(units.in_from_cm(area_cm2)), 0)} in²"
    return f"{units.number_text(area_cm2, 0)} cm²"


def loading_mass(g_cm2: float, kitchen: Kitchen) -> str:
    """Dough on one square of the pan's floor: "0.70 g", or "0.16 oz" where ounces are weighed."""
    return pans.loading_mass(g_cm2, kitchen.mass_unit)


def loading_sentence(g_cm2: float, kitchen: Kitchen) -> str:
    """Dough on the floor of the pan: "0.70 g of dough on each square centimetre of the tray"."""
    return pans.loading_sentence(g_cm2, kitchen.mass_unit)


def times(value: float) -> str:
    """How many times the first volume: "×1.8"."""
    return f"×{units.number_text(value)}"


FILTERS: dict[str, Callable[..., object]] = {
    "clock": clock,
    "day_name": day_name,
    "day_clock": day_clock,
    "short_day": short_day,
    "sentence": sentence,
    "machine_time": machine_time,
    "duration": duration,
    "grams": grams,
    "heat": heat,
    "percent": percent,
    "as_poured": weights.by_hand,
    "part_name": part_name,
    "setting": setting_word,
    "area": area,
    "feeds": pans.feeds,
    "loading_mass": loading_mass,
    "loading_sentence": loading_sentence,
    "times": times,
    "held": held,
    "by_load": by_load,
    "bake_title": bake_title,
    "plain_title": plain_title,
    "begins": begins,
    "yeast_dose": weights.yeast_dose_words,
    "yeast_spoons": spoons_of_line,
    "to_have": toppings.to_have,
    "on_top": toppings.on_top,
    "day_lines": tonight.day_lines,
    "errands": errands_words,
    "pace_words": learned.pace_words,
    "sureness_words": learned.sureness_words,
    "is_anothers": is_anothers,
    "pans_words": rests_on.pans_words,
    "pans_in_full": pans.pans_in_full,
    "doing": tonight.doing,
    "untold": tonight.untold_words,
    "five": five,
    "home_by_words": tonight.home_by_words,
    "begins_words": tonight.begins_words,
    "latest_words": tonight.latest_words,
}


def local(zone: str, style: ClockStyle = "24") -> Local:
    """How instants read in this zone, for the tide chart."""
    return Local(
        lambda at: clock(at, zone, style),
        lambda at: day_clock(at, zone, style),
        lambda at: local_minute(at, zone),
        lambda at: day_name(at, zone)[:3],
        lambda at: clock_face(local_time(at, zone), style),
        style,
    )


@dataclass(frozen=True)
class TideView:
    """What a template needs to show a tide chart; see templates/parts/chart.html."""

    plan: Plan
    retimed: Retimed
    local: Local
    now: int | None
    heat_unit: HeatUnit
    met: tonight.Meets | None = None  # as somebody comes to it, where that is known

    def picture(self, size: str, uid: str) -> Markup:
        """The SVG in this size; `uid` keeps its ids apart from those of other charts of the page."""
        shapes = on_the_page(chart.chart(self.plan, self.retimed, self.local, SIZES[size], self.now, self._until))
        # Texts inside are escaped where they are put in.
        return Markup(svg.draw(shapes, uid, chart_words("chart title", title=self.plan.title), self.desc))  # noqa: S704

    def readout(self, size: str) -> str:
        """Points and words for the pointer, as JSON."""
        shapes = chart.chart(self.plan, self.retimed, self.local, SIZES[size], self.now, self._until)
        return svg.readout(shapes, self.local, self.heat_unit)

    @staticmethod
    def says(key: str, **figures: str) -> str:
        """A phrase of the chart, by its key."""
        return chart_words(key, **figures)

    @cached_property
    def desc(self) -> str:
        """The day in sentences."""
        return svg.describe(self.plan, self.retimed, self.local)

    @property
    def _until(self) -> int:
        return come_until(self.met)

    @property
    def waits(self) -> str:
        """How long the dough waits for the person."""
        come = tonight.come_words(self.met, self.local.style) if self.met else ""
        return come or svg.waits(self.plan, self.retimed, self.local)

    @property
    def rows(self) -> list[tuple[str, str, str, str]]:
        """The chart as a table."""
        return svg.rows(self.plan, self.retimed, self.local)


def tide_of(
    plan: Plan, retimed: Retimed | None, kitchen: Kitchen, now: int | None = None, met: tonight.Meets | None = None
) -> TideView:
    """The chart of a plan as it stands; with no journal yet, as it was planned. `met`: as somebody comes to it."""
    stands = retimed or retime(plan, fold(plan, ()), plan.made_at)
    return TideView(plan, stands, local(plan.zone, kitchen.clock), now, kitchen.heat_unit, met)


def come_until(met: tonight.Meets | None) -> int:
    """By when the dough has to be gone on with, for supper to stand; 0 = not known."""
    return met.between[1] if met and met.between else 0


def step_rows(plan: Plan, retimed: Retimed) -> list[tuple[PlanStep, RetimedStep, int]]:
    """The steps still in the plan, in order of time, each with the seconds until the next step of the chain.

    What is done stands at the time at which it was done, which is what is told of it: two that were ticked in the same
    minute follow each other with no wait between. Of the wait that goes on the place is where the dough really is.
    """
    pairs = sorted(pairs_of(plan, retimed), key=lambda pair: _told_at(pair[1]))
    out: list[tuple[PlanStep, RetimedStep, int]] = []
    for place, (step, timed) in enumerate(pairs):
        after = next((r for s, r in pairs[place + 1 :] if s.chain and _told_at(r) >= timed.end), None)
        goes_on = step.chain and timed.status == "done" and after is not None and after.status != "done"
        here = next((one for one in RESTING_PLACES if one == retimed.place), None) if goes_on else None
        wait_s = max(0, after.start - timed.end) if step.chain and after else 0
        out.append((replace(step, place=here) if here else step, timed, wait_s))
    return out


def _told_at(timed: RetimedStep) -> int:
    return timed.end if timed.status == "done" else timed.start


def pace_of(taught: Taught) -> Markup:
    """The picture of what the kitchen has taught."""
    seen = [lesson.quicker for lesson in taught.lessons]
    return Markup(learned_picture(seen, taught.kitchen.vigour_ln_mean, taught.kitchen.vigour_ln_sd))  # noqa: S704


def strip_of(steps: Sequence[StripStep], supper: int, zone: str, style: ClockStyle, uid: str) -> Markup:
    """The day as one line, for evenings that are only looked at."""
    here = local(zone, style)
    words = strip_words(steps, supper, here)
    return Markup(svg.draw(day_strip(steps, supper, here), uid, STRIP_TITLE, words))  # noqa: S704


def register(app: Flask) -> None:
    """Make every filter, and the tide chart, known to the app's templates."""
    app.jinja_env.filters.update(FILTERS)
    app.jinja_env.globals.update(
        tide_of=tide_of,
        asked_words=ASKED,
        place_word=place_word,
        lesson_words=lesson_words,
        other_clock=other_clock,
        taught_words=taught_words,
        oven_word=oven_word,
        yeast_word=yeast_word,
        flag_words=flag_words,
        good_words=good_words,
        past_best=PAST_BEST,
        outcome_said=outcome_said,
        part_word=part_word,
        steps_words=steps_words,
        left_out=LEFT_OUT,
        step_rows=step_rows,
        bowls=bowls,
        runs=runs,
        share_text=share_text,
        levers_of=what_if.levers,
        pace_of=pace_of,
        strip_of=strip_of,
    )
