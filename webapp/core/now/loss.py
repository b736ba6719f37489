"""What makes one way from here better than another: the one table of loss, and whether anybody is there for it.

Twin of static/js/now/loss.js.

Twin rules: + - * / and comparison only; change both or neither. Loss is in units of |ln(progress at loading / best)|:
0.1 is a dough a tenth off its best. The sizes are this project's own judgement; `tests/bench/bench_evenings.py` counts
what they do to five hundred evenings, and a change of any by a quarter is seen there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from webapp.core.kinds import WayResult
from webapp.core.now.chain import Timed
from webapp.core.now.ln_exp import ln, root
from webapp.core.now.marked import waited_for
from webapp.core.plan.plan import Plan
from webapp.core.plan.way import Choice


@dataclass(frozen=True)
class Row:
    """One row: so much `loss` for what is said beside it."""

    key: str
    loss: float


LOSSES: tuple[Row, ...] = (
    Row("young", 1.0),  # ln(best / progress at loading), where it is less
    Row("past", 1.3),  # ln(progress at loading / best), where it is more: it tears, spreads and browns less
    Row("press", 0.1),  # |ln(progress at pressing / best there)|, while that is still to come
    Row("late", 0.0005),  # each minute that supper is later than agreed, up to 30
    Row("later", 0.03),  # each minute beyond that: nobody is told to dine at midnight
    Row("next-day", 15.0),  # the most of them: another evening, once tonight would end deep in the night
    Row("early", 0.0005),  # each minute that supper is sooner, up to 30
    Row("sooner", 0.02),  # each minute beyond that
    Row("work", 0.015),  # each time that the dough must be carried
    Row("ask", 0.004),  # a supper that moves by more than a quarter of an hour: the person must be asked
    Row("change", 0.02),  # another way than the one that stands: not every reading turns the evening round
    Row("nobody", 9.0),  # going on as things stand where nobody is there for one of the steps: no other way has such
    Row("spoils", 20.0),  # going on where dough or topped tray is out of the fridge too long: no other way has such
    Row("again", 0.03),  # another way than the one that the person chose, over all that they knew they gave up by it
)

TWO_OVER_PI = 0.6366197723675814
GIVE_MIN = 30.0  # what a supper gives either way before it hurts


def loss_of(key: str) -> float:
    """The loss of that row."""
    for row in LOSSES:
        if row.key == key:
            return row.loss
    raise AssertionError(key)


YOUNG, PAST, PRESS = loss_of("young"), loss_of("past"), loss_of("press")
LATE, LATER, NEXT_DAY, EARLY, SOONER = (loss_of(key) for key in ("late", "later", "next-day", "early", "sooner"))
WORK, ASK, CHANGE, AGAIN = (loss_of(key) for key in ("work", "ask", "change", "again"))
NOBODY, SPOILS = loss_of("nobody"), loss_of("spoils")


def off_best(progress: float, best: float, sd: float) -> float:
    """Loss of a dough loaded so far on, as far as that is known (`sd` of ln progress): the mean over what may be.

    The mean of |x| for a normal x is near root(mean^2 + 2 / pi sd^2), exact far off and at 0, within a tenth between.
    A minute more or less matters little to a dough of which nothing is known yet.
    """
    if progress <= 0 or best <= 0:
        return 9.0
    off = ln(progress / best)
    return (PAST + YOUNG) / 2 * root(off * off + TWO_OVER_PI * sd * sd) + (PAST - YOUNG) / 2 * off


def off_press(progress: float, best: float) -> float:
    """Loss of a dough that is pressed so far on."""
    if progress <= 0 or best <= 0:
        return 9.0
    off = ln(progress / best)
    return off * PRESS if off > 0 else -off * PRESS


def off_supper(late_s: int) -> float:
    """Loss of a supper that is so much later (or sooner, negative) than agreed."""
    minutes = late_s / 60
    if minutes >= 0:
        loss = minutes * LATE if minutes <= GIVE_MIN else GIVE_MIN * LATE + (minutes - GIVE_MIN) * LATER
        return loss if loss < NEXT_DAY else NEXT_DAY
    return -minutes * EARLY if -minutes <= GIVE_MIN else GIVE_MIN * EARLY + (-minutes - GIVE_MIN) * SOONER


def result_of(ratio: float) -> WayResult:
    """What it means on the plate: young | bit-young | best | bit-past | past."""
    if ratio < 0.7:
        return "young"
    if ratio < 0.85:
        return "bit-young"
    if ratio <= 1.2:
        return "best"
    return "bit-past" if ratio <= 1.4 else "past"


def free_from(plan: Plan, start: int, end: int, hands: bool) -> int:
    """The first instant from `start` on at which somebody is there for as long as from `start` to `end`.

    For hands somebody who is free, else anybody awake at home: a call hinders nobody from having an eye on the oven.
    """
    out = start
    for span in plan.busy if plan.nobody is None else plan.nobody:
        meets = (span.start <= out or span.start < out + end - start) and out < span.end
        if meets and (hands or span.kind != "busy"):
            out = span.end
    return out


def oven_off(timed: Sequence[Timed]) -> int:
    """When the last tray is out and the oven off; 0 when none is baked."""
    out = 0
    for one in timed:
        if one.step.kind == "lift":
            out = one.end
    return out


def relit_at(timed: Sequence[Timed]) -> int:
    """When the oven is lit, or lit again; 0 when it is lit, or none is."""
    for one in timed:
        if one.step.kind == "preheat" and one.status == "open":
            return one.start
    return 0


def missed(plan: Plan, timed: Sequence[Timed], press_at: int, now: int) -> tuple[int, int]:
    """When a step of a way is due that nobody is there for, and by how much it must be put off; (0, 0) = none is.

    What is done this minute is done by whoever asks. What comes before pressing is no way's to move. From lighting the
    oven until it is off somebody is in; who eats may be on the telephone.
    """
    for one in timed:
        if one.status == "open" and waited_for(one.step) and one.start >= press_at and one.start > now:
            end = oven_off(timed) if one.step.kind == "preheat" else one.end
            hands = one.step.presence == "hands" and one.step.kind != "serve"
            by_s = free_from(plan, one.start, end, hands) - one.start
            if by_s > 0:
                return one.start, by_s
    return 0, 0


def put_off(plan: Plan, choice: Choice, got: Choice, timed: Sequence[Timed], now: int) -> Choice | None:
    """This choice, which `got` such times, with what nobody is there for put off; None when all is well.

    What is out of the fridge by the time of pressing needs no hour of its own.
    """
    due, by_s = missed(plan, timed, got.press_at, now)
    pressing = due == got.press_at and by_s > 0
    press_at = got.press_at + by_s if pressing else got.press_at
    load_at = got.load_at if pressing else got.load_at + by_s
    out_at = free_from(plan, choice.out_at, choice.out_at, True)
    if by_s == 0 and out_at == choice.out_at:
        return None
    return replace(choice, press_at=press_at, load_at=load_at, out_at=out_at if out_at < press_at else 0)
