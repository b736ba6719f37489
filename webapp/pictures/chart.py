"""The tide chart: a plan and where it stands, laid out as shapes (shapes.py); `svg.py` draws them.

Time runs across, the rise runs up (as progress P, with the marks of the glass beside it). Pure: instants in, numbers
out; how an instant reads on a wall clock is handed in as `Local`. Its twin is static/js/pictures/chart.js, which a
browser test holds to the same numbers; so the arithmetic here is plain on purpose.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from webapp.core.plan import CurvePoint, GlassMark, Plan, PlanStep, Retimed, RetimedStep
from webapp.pictures.reading import mixed_at, pairs_of, times_at, waiting
from webapp.pictures.shapes import (
    Column,
    Hand,
    Local,
    Peg,
    Reading,
    Size,
    Tick,
    TideChart,
    Window,
    Zone,
)

MOST_POINTS = 96  # of the curve: at 320 units across more would not be seen
PEG_ORDER = ("serve", "load", "mix", "preferment", "press", "preheat", "chill", "temper", "proof", "top", "lift")


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


def chart(plan: Plan, retimed: Retimed, local: Local, size: Size, now: int | None = None) -> TideChart:
    """The shapes of this plan as it stands; `now` None draws no now line."""
    scale = _scale_of(plan, retimed, size)
    curve = _fewer(retimed.curve)
    drawn = now is not None and scale.first <= now <= scale.last
    return TideChart(
        size=size,
        columns=_columns(plan, retimed, scale),
        zones=_zones(plan, retimed, scale),
        band=tuple((scale.x(p.at), scale.y(p.high)) for p in curve)
        + tuple((scale.x(p.at), scale.y(p.low)) for p in reversed(curve)),
        line=tuple((scale.x(p.at), scale.y(p.progress)) for p in curve),
        dots=tuple((scale.x(r.start), scale.y(r.progress)) for s, r in pairs_of(plan, retimed) if s.mark is not None),
        pegs=_pegs(plan, retimed, local, scale, now) if size.words else (),
        hands=_hands(plan, retimed, scale),
        hours=hours(local, scale, scale.x(now) if drawn and now is not None else -99.0),
        glass=_glass_ticks(plan, scale) if size.axis else (),
        window=_window_of(plan, retimed, scale),
        now=scale.x(now) if drawn and now is not None else None,
        flag=scale.x(retimed.supper),
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
    kept = [p for i, p in enumerate(curve) if i % stride == 0]
    if curve and kept[-1] is not curve[-1]:
        kept.append(curve[-1])
    return kept


def _columns(plan: Plan, retimed: Retimed, scale: Scale) -> tuple[Column, ...]:
    spans: list[tuple[str, str, int, int]] = [(b.kind, b.word or b.kind, b.start, b.end) for b in plan.busy]
    pairs = [(s, r) for s, r in pairs_of(plan, retimed) if s.chain]
    for (step, timed), (_, following) in pairwise(pairs):
        if step.place in ("fridge", "warm", "oven"):
            spans.append((step.place, step.place, timed.end, following.start))
    out: list[Column] = []
    for kind, word, start, end in spans:
        x, width = scale.x(start), scale.x(end) - scale.x(start)
        joined = out and out[-1].kind == kind and x - (out[-1].x + out[-1].width) < 2
        if joined:
            before = out.pop()
            x, width = before.x, x + width - before.x
        named = kind != "oven" and (scale.size.words or kind not in ("fridge", "warm"))
        label = word if named and width >= len(word) * 11 + 6 else ""
        if width >= 0.5:
            out.append(Column(kind, x, width, label))
    return tuple(out)


def _zones(plan: Plan, retimed: Retimed, scale: Scale) -> tuple[Zone, ...]:
    out: list[Zone] = []
    since = mixed_at(plan, retimed)
    for step, timed in pairs_of(plan, retimed):
        if step.mark is None:
            continue
        x, width = scale.x(since), scale.x(timed.start) - scale.x(since)
        mark = step.mark
        for kind, low, high, words in (
            ("early", mark.early, mark.best, "early"),
            ("best", mark.best, mark.past, "at its best"),
            ("past", mark.past, mark.past * 9, "past its best"),
        ):
            top, height = scale.y(high), scale.y(low) - scale.y(high)
            fits = scale.size.words and not out[2:] and width >= len(words) * 10 and height >= 20
            out.append(Zone(kind, x, top, width, height, words if fits else ""))
        since = timed.start
    return tuple(zone for zone in out if zone.width >= 0.5 and zone.height >= 0.5)


def _hands(plan: Plan, retimed: Retimed, scale: Scale) -> tuple[Hand, ...]:
    return tuple(
        Hand(scale.x(r.start), max(4.0, scale.x(r.end) - scale.x(r.start)))
        for s, r in pairs_of(plan, retimed)
        if s.presence == "hands"
    )


def _pegs(plan: Plan, retimed: Retimed, local: Local, scale: Scale, now: int | None) -> tuple[Peg, ...]:
    picked = _picked(plan, retimed, int((scale.size.width - 4) / scale.size.slot))
    slots = spread([scale.x(r.start) for _, r in picked], scale.size.slot, scale.size.width)
    out: list[Peg] = []
    for (step, timed), slot in zip(picked, slots, strict=True):
        due = now is not None and timed.status == "open" and timed.start <= now
        time = local.face(timed.start)
        status = "due" if due else timed.status
        out.append(Peg(step.step_id, step.kind, scale.x(timed.start), slot, time, status))
    return tuple(out)


def _picked(plan: Plan, retimed: Retimed, most: int) -> list[tuple[PlanStep, RetimedStep]]:
    """The steps worth a peg, by their order of worth, in order of time."""
    pairs = pairs_of(plan, retimed)
    chosen: list[str] = []
    for kind in PEG_ORDER:
        chosen += [s.step_id for s, _ in pairs if s.kind == kind]
    return sorted(((s, r) for s, r in pairs if s.step_id in chosen[:most]), key=lambda pair: pair[1].start)


def spread(wanted: Sequence[float], room: float, width: float) -> list[float]:
    """Places at least `room` apart, in order, inside the width, each as near to where it is wanted as that allows.

    `wanted` ascends and fits: len(wanted) * room <= width.
    """
    out = list(wanted)
    for i in range(len(out)):
        out[i] = max(out[i], room / 2 if i == 0 else out[i - 1] + room)
    for i in reversed(range(len(out))):
        out[i] = min(out[i], width - room / 2 if i == len(out) - 1 else out[i + 1] - room)
    return out


def hours(local: Local, scale: Scale, now_x: float) -> tuple[Tick, ...]:
    """Hours of the wall clock along the top; those near the now line go without their label."""
    room = 34.0 if local.style == "24" else 58.0
    across = scale.size.width - scale.size.left - scale.size.right
    hours_wide = (scale.last - scale.first) / 3600
    step = next((h for h in (1, 2, 3, 6, 12) if across * h / hours_wide >= room), 24)
    out: list[Tick] = []
    for at in range((scale.first // 900 + 1) * 900, scale.last, 900):
        minute = local.minute(at)
        x = scale.x(at)
        if minute % (step * 60) == 0 and room / 3 < x < scale.size.width - room / 3:
            out.append(Tick(x, _hour_label(local, at, minute // 60) if abs(x - now_x) > room / 2 + 22 else ""))
    return tuple(out)


def _hour_label(local: Local, at: int, hour: int) -> str:
    if hour == 0:
        return local.day(at)
    if local.style == "24":
        return str(hour)
    return f"{(hour + 11) % 12 + 1} {'am' if hour < 12 else 'pm'}"


def _glass_ticks(plan: Plan, scale: Scale) -> tuple[Tick, ...]:
    halves = [mark.times for mark in plan.rise.glass if mark.times * 2 == int(mark.times * 2)]
    out: list[Tick] = []
    for times in sorted(halves, key=lambda t: (t != int(t), t)):
        y = scale.up(times)
        if times < scale.most and all(abs(tick.at - y) >= 24 for tick in out):
            out.append(Tick(y, f"×{times:g}"))
    return tuple(out)


def _window_of(plan: Plan, retimed: Retimed, scale: Scale) -> Window | None:
    timed = waiting(plan, retimed)
    if timed is None or timed.early_at >= timed.past_at:
        return None
    return Window(scale.x(timed.early_at), scale.x(timed.best_at), scale.x(timed.past_at))


def _reading_of(plan: Plan, point: CurvePoint, scale: Scale) -> Reading:
    glass = plan.rise.glass
    return Reading(point.at, scale.x(point.at), times_at(glass, point.progress), times_at(glass, point.low),
                   times_at(glass, point.high), point.dough_c)  # fmt: skip
