"""The tide chart: a plan and where it stands, laid out as shapes (shapes.py); `svg.py` draws them.

Time runs across, the rise runs up (as progress P, with the marks of the glass beside it). Pure: instants in, numbers
out; how an instant reads on a wall clock is handed in as `Local`. Its twin is static/js/pictures/chart.js, which a
browser test holds to the same numbers; so the arithmetic here is plain on purpose.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from webapp.core.kinds import ASIDE_PLACES
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import CurvePoint, Retimed, RetimedStep
from webapp.core.plan.rise import GlassMark
from webapp.core.plan.steps import PlanStep
from webapp.pictures.reading import mixed_at, pairs_of, times_at, until_of, waiting
from webapp.pictures.shapes import (
    Column,
    Local,
    Peg,
    Reading,
    Size,
    SupperFlag,
    TideChart,
    Window,
)
from webapp.words.pages.pictures import PEG_WORDS, chart_words, peg_words
from webapp.words.times import five

MOST_POINTS = 96  # of the curve: at 320 units across more would not be seen
LETTER = 9.6  # the room of one; a narrower stretch is left out
APART = 9.0  # between two words
BOLD = 11.0  # and of one in bold, in the widest of the fonts that phones have
SWATCH = 26.0  # before the words of the bar a piece of it
HALVES = (" am", " pm")
HALF_A_DAY_S = 12 * 3600  # from supper on: longer than that, a time of the clock does not say which day it means
ALWAYS = ("load",)  # told of although somebody is there already
BESIDE_FLAG = 30.0  # from its pole: so wide is the cloth, and a little more
TOGETHER_S = 45 * 60  # a shorter wait is no going away: what is done before and after it is one visit


@dataclass(frozen=True)
class Scale:
    """Instants and progress into units of the picture."""

    size: Size
    first: int
    last: int
    most: float  # times the first volume, at the top
    glass: tuple[GlassMark, ...]

    def x(self, at: int) -> float:
        """Across; what lies outside is held at the edge."""
        inside = min(max(at, self.first), self.last)
        room = self.size.width - self.size.left - self.size.right
        return self.size.left + room * (inside - self.first) / (self.last - self.first)

    def y(self, progress: float) -> float:
        """Up, from the base; what would stick out is held at the top."""
        return self.up(times_at(self.glass, progress))

    def up(self, times: float) -> float:
        """The same for a volume."""
        return self.size.base - self.size.plot * (min(max(times, 1.0), self.most) - 1) / (self.most - 1)


def chart(plan: Plan, retimed: Retimed, local: Local, size: Size, now: int | None = None, until: int = 0) -> TideChart:
    """The shapes of this plan as it stands; `now` None draws no now line. `until`: the instant by which the dough has
    to be gone on with for supper to stand, where that is known; 0 = it is not."""
    scale = _scale_of(plan, retimed, size)
    curve = _fewer(retimed.curve)
    drawn = now is not None and scale.first <= now <= scale.last
    flag = _flag_of(retimed, local, scale)
    return TideChart(
        size=size,
        columns=_columns(plan, retimed, scale, flag),
        band=tuple((scale.x(p.at), scale.y(p.high)) for p in curve)
        + tuple((scale.x(p.at), scale.y(p.low)) for p in reversed(curve)),
        line=tuple((scale.x(p.at), scale.y(p.progress)) for p in curve),
        pegs=_pegs(plan, retimed, local, scale, now),
        hands=(),
        hours=(),
        window=_window_of(plan, retimed, local, scale, until),
        now=scale.x(now) if drawn and now is not None else None,
        flag=flag,
        readings=tuple(_reading_of(plan, p, scale) for p in curve),
    )


def _scale_of(plan: Plan, retimed: Retimed, size: Size) -> Scale:
    starts = [r.start for r in retimed.steps]
    first = min([*starts, mixed_at(plan, retimed)])
    last = max([*(r.end for r in retimed.steps), retimed.supper, retimed.ready_at])
    margin = (last - first) // 50 + 300
    glass = plan.rise.glass
    pasts = [times_at(glass, s.mark.past) for s in plan.steps if s.mark is not None]
    highest = max([times_at(glass, p.high) for p in retimed.curve], default=2.0)
    most = min(max(highest, pasts[0] * 1.12), pasts[-1] * 1.2) if pasts else highest
    return Scale(size, first - margin, last + margin, max(most, 1.5), glass)


def _fewer(curve: Sequence[CurvePoint]) -> list[CurvePoint]:
    stride = (len(curve) - 1) // MOST_POINTS + 1
    return [p for i, p in enumerate(curve) if i % stride == 0 or i == len(curve) - 1]


def _flag_of(retimed: Retimed, local: Local, scale: Scale) -> SupperFlag:
    x = scale.x(retimed.supper)
    words = chart_words("chart eat", at=local.clock(retimed.supper))
    return SupperFlag(x, words, max(x - BESIDE_FLAG, scale.size.left + len(words) * LETTER))


def _columns(plan: Plan, retimed: Retimed, scale: Scale, flag: SupperFlag) -> tuple[Column, ...]:
    spans: list[tuple[str, str, int, int]] = [(b.kind, b.word or b.kind, b.start, b.end) for b in plan.busy]
    pairs = [(s, r) for s, r in pairs_of(plan, retimed) if s.chain]
    for (step, timed), (_, following) in pairwise(pairs):
        if step.place in ASIDE_PLACES:
            spans.append((step.place, step.place, timed.end, following.start))
    out: list[Column] = []
    for kind, word, start, end in spans:
        x, width = scale.x(start), scale.x(end) - scale.x(start)
        joined = out and out[-1].kind == kind and x - (out[-1].x + out[-1].width) < 2
        if joined:
            before = out.pop()
            x, width = before.x, x + width - before.x
        if width >= LETTER:
            room = len(word) * LETTER
            half = (width + room) / 2
            # The words of the flag lie as high as those of a column, but for a strip's.
            under = (
                kind not in ASIDE_PLACES
                and x + half > flag.end - len(flag.words) * LETTER
                and x + width - half < flag.x
            )
            out.append(Column(kind, x, width, word if width >= room + 6 and not under else ""))
    return tuple(out)


def _visits(plan: Plan, retimed: Retimed) -> list[list[tuple[PlanStep, RetimedStep]]]:
    """The steps that want somebody, those with little between them together, in order of time."""
    wanted = sorted((pair for pair in pairs_of(plan, retimed) if pair[0].presence != "none"), key=_by_start)
    out: list[list[tuple[PlanStep, RetimedStep]]] = []
    until = 0
    for step, timed in wanted:
        if not out or timed.start - until > TOGETHER_S:
            out.append([])
        out[-1].append((step, timed))
        until = max(until, timed.end)
    return out


def _by_start(pair: tuple[PlanStep, RetimedStep]) -> int:
    return pair[1].start


def _pegs(plan: Plan, retimed: Retimed, local: Local, scale: Scale, now: int | None) -> tuple[Peg, ...]:
    picked, words, slots = _fitting(plan, retimed, local, scale)
    times = _times_of(picked, local)
    out: list[Peg] = []
    for (step, timed), word, time, slot in zip(picked, words, times, slots, strict=True):
        due = now is not None and timed.status == "open" and timed.start <= now
        out.append(Peg(step.step_id, step.kind, scale.x(timed.start), slot, time, word, "due" if due else timed.status))
    return tuple(out)


def _fitting(
    plan: Plan, retimed: Retimed, local: Local, scale: Scale
) -> tuple[list[tuple[PlanStep, RetimedStep]], list[str], list[float]]:
    """What is told of below, in which words, in which places.

    None lies under the place of another, or it reads as what happens there; where two are so close that one always
    does, they may. A fold beside another step gives way, then the last day, then a step; never the first day, or a
    dough of two days reads as mixed on supper's own.
    """
    size = scale.size
    for may_lie_under in (False, True):
        for most in range(size.pegs, 1, -1):
            picked = _picked(plan, retimed, most)
            times, at = _times_of(picked, local), [scale.x(timed.start) for _, timed in picked]
            for ends, folds in ((2, True), (2, False), (1, True), (1, False)):
                words = _named(picked, local, ends, _folding(plan, retimed) if folds else ())
                rooms = [
                    max(size.slot, len(word) * LETTER + APART, len(time) * LETTER)
                    for word, time in zip(words, times, strict=True)
                ]
                slots = spread(at, rooms, size.width)
                if sum(rooms) <= size.width and (may_lie_under or _is_clear(at, slots, rooms)):
                    return picked, words, slots
    picked = _picked(plan, retimed, 1)
    at = [scale.x(timed.start) for _, timed in picked]
    return picked, _named(picked, local, 0), spread(at, [size.slot] * len(picked), size.width)


def _is_clear(at: Sequence[float], slots: Sequence[float], rooms: Sequence[float]) -> bool:
    """Has every place its own words nearest, and none of the others' under it?"""
    return not any(
        i != n and abs(place - slot) < room / 2 - APART
        for i, (slot, room) in enumerate(zip(slots, rooms, strict=True))
        for n, place in enumerate(at)
    )


def _times_of(picked: Sequence[tuple[PlanStep, RetimedStep]], local: Local) -> list[str]:
    """The minutes that the list of steps names: when each is to begin, or was over.

    Of a clock of twelve hours the first says which half of the day it is, and the first of another half.
    """
    instants = [timed.start if timed.status == "open" else timed.end for _, timed in picked]
    halves = ["" if local.style == "24" else HALVES[local.minute(at) >= 12 * 60] for at in instants]
    before = ["", *halves][: len(halves)]
    said = [half if half != last else "" for half, last in zip(halves, before, strict=True)]
    return [local.face(at) + half for at, half in zip(instants, said, strict=True)]


def _folding(plan: Plan, retimed: Retimed) -> tuple[str, ...]:
    """The steps in whose visit the dough is folded too."""
    told = [[step for step, _ in visit if step.kind in PEG_WORDS] for visit in _visits(plan, retimed)]
    return tuple(steps[0].step_id for steps in told if any(step.kind == "fold" for step in steps[1:]))


def _named(
    picked: Sequence[tuple[PlanStep, RetimedStep]], local: Local, ends: int, folding: Sequence[str] = ()
) -> list[str]:
    """Their words; where the picture goes over midnight, so many of the first and the last name their day."""
    days = [local.day(timed.start) for _, timed in picked]
    told = (0, len(days) - 1)[:ends] if len(set(days)) > 1 else ()
    words = [peg_words(step.kind, step.step_id in folding) for step, _ in picked]
    return [f"{word} {day}" if i in told else word for i, (word, day) in enumerate(zip(words, days, strict=True))]


def _picked(plan: Plan, retimed: Retimed, most: int) -> list[tuple[PlanStep, RetimedStep]]:
    """The first of each visit that has a word, the baking and the meal; by worth when they are too many; by time."""
    told = [[pair for pair in visit if pair[0].kind in PEG_WORDS] for visit in _visits(plan, retimed)]
    pairs = [pair for visit in told for pair in visit if pair is visit[0] or pair[0].kind in ALWAYS]
    worth = list(PEG_WORDS)
    return sorted(sorted(pairs, key=lambda pair: worth.index(pair[0].kind))[:most], key=_by_start)


def spread(wanted: Sequence[float], rooms: Sequence[float], width: float) -> list[float]:
    """Middles of words that need so much room each, in order, inside the width, as near to `wanted` as that allows.

    `wanted` ascends and fits: sum(rooms) <= width.
    """
    out = list(wanted)
    for i in range(len(out)):
        out[i] = max(out[i], rooms[i] / 2 if i == 0 else out[i - 1] + (rooms[i - 1] + rooms[i]) / 2)
    for i in reversed(range(len(out))):
        last = i == len(out) - 1
        out[i] = min(out[i], width - rooms[i] / 2 if last else out[i + 1] - (rooms[i] + rooms[i + 1]) / 2)
    return out


def _window_of(plan: Plan, retimed: Retimed, local: Local, scale: Scale, until: int) -> Window | None:
    timed = waiting(plan, retimed)
    if timed is None or timed.early_at >= timed.past_at:
        return None
    until = until_of(timed, until)
    # Of use to this supper: a bar that ran on behind the flag was read as a duty in the middle of the night.
    serves = timed.early_at < retimed.supper
    end_at = min(timed.past_at, until or retimed.supper, retimed.supper) if serves else timed.past_at
    day = f"{local.day(end_at)} " if end_at - retimed.supper > HALF_A_DAY_S else ""
    # What is good past supper has no end that anybody must wait for.
    is_long = serves and not until and retimed.supper < timed.past_at and not plan.dough_perishes
    # Then it is drawn until the last tray goes into the oven: on to supper, it was read as a dough that waits there.
    oven = [r.start for s, r in pairs_of(plan, retimed) if s.kind == "load"][-1:]
    drawn_to = min(*oven, end_at) if is_long and oven and oven[0] > timed.early_at else end_at
    x, end = scale.x(timed.early_at), scale.size.width + 9 if end_at > scale.last else scale.x(drawn_to)
    since = local.clock(five(timed.early_at))
    said = chart_words("chart from", since=since) if is_long else f"{since}–{day}{local.clock(five(end_at))}"
    left, right = scale.size.left, scale.size.width - scale.size.right
    label = chart_words("chart waits for you", when=said)
    if len(label) * BOLD + SWATCH > right - left:
        label = chart_words("chart waits", when=said)
    wide = len(label) * BOLD + SWATCH
    # Below the middle of the bar, unless that would leave the picture.
    return Window(x, end, label, max(left, min((x + end - wide) / 2, right - wide)))


def _reading_of(plan: Plan, point: CurvePoint, scale: Scale) -> Reading:
    glass = plan.rise.glass
    return Reading(point.at, scale.x(point.at), times_at(glass, point.progress), times_at(glass, point.low),
                   times_at(glass, point.high), point.dough_c)  # fmt: skip
