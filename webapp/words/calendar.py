"""The words of a calendar event: what to do, in full, for somebody who has only the calendar and no app.

Grams for mixing, dial and shelf for the oven, what to look for, and the cautions of that step. The person's wall
clock appears here and nowhere else in a calendar file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from zoneinfo import ZoneInfo

from webapp.core.kinds import MIXING_KINDS, ClockStyle, MassUnit
from webapp.core.kitchen import Kitchen
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.weights import WeighLine
from webapp.core.units import mass_beside
from webapp.words.lists import sentence
from webapp.words.plan.kept_part import over_pan_words
from webapp.words.plan.weights import by_hand
from webapp.words.problems.misfits import oven_changed_words, pan_changed_words
from webapp.words.times import clock_of, date_words

TEST_RING = "Test ring from Suppertide"
TEST_RANG = "If this rang with the phone locked, reminders in this calendar will ring too. You can delete this event."
NOTHING_PLANNED = "Nothing planned yet"
FEED_WORKS = "This feed works. Bakes appear here once they are planned."
FEED_LEFT = "No phone opens this kitchen any more, so nothing comes here. Take this feed out of your calendar."
_OTHER_PAN = "Another pan was chosen since this was planned: these amounts are for it."
_ANEW = "The bake’s page plans it anew for the pan of now."


@dataclass(frozen=True)
class Listed:
    """A step that is told of in the event of another."""

    step: PlanStep
    start: int


def title_of(steps: Sequence[PlanStep], which: str = "") -> str:
    """What to come for: "Put the topping on, then load the tray". `which`: the bake, when there are two."""
    titles = [one.title for one in steps]
    said = ", then ".join([titles[0], *(f"{title[:1].lower()}{title[1:]}" for title in titles[1:])])
    return f"{said} ({which})" if which else said


@dataclass(frozen=True)
class Homecoming:
    """Coming home in time for a step: at what instant somebody does, when the step is planned, how late it may be."""

    step: PlanStep
    home: int
    start: int
    latest: int


def come_home(plan: Plan, one: Homecoming, kitchen: Kitchen, which: str = "") -> tuple[str, str, str]:
    """Of the event that says to be home in time for a step: title, whole text, and what it says in one line.

    The time named is the latest one, as everywhere; the event stands at the hour at which somebody comes home.
    """
    at, by = (clock_words(when, plan.zone, kitchen.clock) for when in (one.start, one.latest))
    what = f"{one.step.title[:1].lower()}{one.step.title[1:]}"
    is_later = one.latest > one.start
    title = f"Home by {by}{' at the latest' if is_later else ''}: {what}{f' (planned {at})' if is_later else ''}"
    stays = f" By {by} at the latest, and supper stays as planned." if is_later else ""
    text = f"Planned for {at}: {what}.{stays} Leave in time."
    said = f"{local_text(one.home, plan.zone, kitchen.clock)}\n{text}"
    return f"{title} ({which})" if which else title, f"{said}\n\n{_about(plan, kitchen)}", text


def of_another_pan() -> dict[str, str]:
    """Said where amounts or the pan itself are named: another pan than the plan's was chosen at the bench."""
    return dict.fromkeys(("preferment", "mix", "press", "sauce", "top"), _OTHER_PAN)


def of_a_full_pan(plan: Plan, over_g: float, unit: MassUnit) -> dict[str, str]:
    """Said where it is pressed out: so much of the dough is more than the pan takes."""
    return {"press": over_pan_words(plan, over_g, unit)}


def of_a_changed_pan(plan: Plan) -> dict[str, str]:
    """Said where it is weighed out: the household's pan is another one by now, and the amounts are those of before."""
    return dict.fromkeys(MIXING_KINDS, f"{pan_changed_words(plan)} {_ANEW}")


def of_a_changed_oven(now: OvenPlan) -> dict[str, str]:
    """Said where it is lit and where the tray goes in: the dial and minutes there are of before, these are right."""
    return dict.fromkeys(("preheat", "load"), oven_changed_words(now))


def in_short(start: int, zone: str, clock: ClockStyle, what: str) -> str:
    """ "07:15 – Weigh into one bowl ...": for a message, which has room for little."""
    return " – ".join(part for part in (clock_words(start, zone, clock), what) if part)


def describe(
    plan: Plan,
    step: PlanStep,
    start: int,
    kitchen: Kitchen,
    more: Mapping[str, str] | None = None,
    also: Sequence[Listed] = (),
) -> str:
    """The whole text of one event. `more`: by kind of step what is said of its pan, of an oven
    (`of_another_pan`, `of_a_changed_oven`). `also`: further steps, each told in full under its time."""
    parts = [[local_text(start, plan.zone, kitchen.clock), step.text], *_more_of(plan, step, kitchen, more or {})]
    for one in also:
        parts += [[_headed(plan, one, kitchen), one.step.text], *_more_of(plan, one.step, kitchen, more or {})]
    parts.append([_about(plan, kitchen)])
    said = ["\n".join(line for line in part if line) for part in parts]
    return "\n\n".join(part for part in said if part)


def _headed(plan: Plan, one: Listed, kitchen: Kitchen) -> str:
    return f"{clock_words(one.start, plan.zone, kitchen.clock)} {one.step.title}"


def _more_of(plan: Plan, step: PlanStep, kitchen: Kitchen, more: Mapping[str, str]) -> list[list[str]]:
    return [
        _weigh_out(plan, step, kitchen),
        _toppings(plan, step, kitchen),
        [more[step.kind]] if step.kind in more else [],
        _oven(plan, step),
        [f"Take care: {c.text}" for c in plan.cautions if c.step_id == step.step_id],
    ]


def _about(plan: Plan, kitchen: Kitchen) -> str:
    return f"{plan.title}. Dough: {plan.formula_name}, {mass_beside(plan.dough_g, kitchen.mass_unit)}."


def local_text(instant: int, zone: str, clock: ClockStyle = "24") -> str:
    """That instant on the person's wall clock: "Wednesday 25 November, 07:15 (Europe/Lisbon, UTC+00:00)".

    An hour of one autumn night exists twice: which one it is is said as everywhere, and the offset beside it.
    """
    local = datetime.fromtimestamp(instant, zone_or_utc(zone))
    offset = local.strftime("%z")
    return f"{date_words(local)}, {clock_of(local, clock)} ({zone}, UTC{offset[:3]}:{offset[3:5]})"


def clock_words(instant: int, zone: str, clock: ClockStyle = "24") -> str:
    """The hour and minute of an instant on the person's wall clock; of a time that comes twice, which one it is."""
    return clock_of(datetime.fromtimestamp(instant, zone_or_utc(zone)), clock)


def zone_or_utc(name: str) -> tzinfo:
    """The zone, or UTC for a name this computer does not know: a calendar must still be made, and it says UTC."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return UTC


def _aside(line: WeighLine) -> str:
    """A note behind a line: how the yeast is dosed stands in the step's own text."""
    return f" ({line.note.rstrip('.')})" if line.note and line.weighed_by != "dosed" else ""


def _weigh_out(plan: Plan, step: PlanStep, kitchen: Kitchen) -> list[str]:
    """What goes into the bowl at this step: the preferment's lines for a preferment, everything else at mixing."""
    if step.kind not in MIXING_KINDS:
        return []
    chosen = [w for w in plan.lines if (w.part != "dough") == (step.kind == "preferment")]
    if not chosen:
        return []
    lines = (f"{mass_beside(w.weigh_g, kitchen.mass_unit)} {w.name}{_aside(w)}" for w in by_hand(chosen))
    return ["Weigh out:", *lines]


def _toppings(plan: Plan, step: PlanStep, kitchen: Kitchen) -> list[str]:
    """What goes on after baking; what goes on before it stands in the text of the topping. Of several loads each one's
    part is said where it is eaten: here it would be that of all of them, each time."""
    is_all = step.kind == "lift" and plan.oven.loads == 1
    chosen = [t for t in plan.toppings if t.when == "after"] if is_all else []
    lines = [f"{mass_beside(t.grams, kitchen.mass_unit)} {t.name}{f' ({t.note})' if t.note else ''}" for t in chosen]
    return ["After baking:", *lines] if lines else []


def _oven(plan: Plan, step: PlanStep) -> list[str]:
    """What the step's own text does not say: the shelf of a tray alone, the dial once the oven is hot."""
    oven = plan.oven
    if step.kind == "preheat" and not oven.has_slab:
        return [sentence(f"{oven.shelf} shelf.")]
    return [f"Dial {oven.dial}."] if step.kind == "load" else []
