"""The tide chart as SVG text, in words, and as rows of a table for those who cannot see it.

Every colour comes from static/css/chart.css by class; every picture from the sprite in templates/parts/icons.html. Text
from outside (titles) is escaped. Twin of static/js/pictures/svg.js: same shapes, same order, same text.
"""

from __future__ import annotations

import html
import json
from collections.abc import Iterable

from webapp.core.plan import Plan, Retimed
from webapp.pictures.reading import mixed_at, times_at, waiting
from webapp.pictures.shapes import (
    Column,
    Local,
    Peg,
    Tick,
    TideChart,
    Zone,
)
from webapp.words.lists import sentence


def tenth(value: float) -> str:
    """A length to a tenth of a unit, rounded half up, written the same way in both languages."""
    tenths = int(value * 10 + 0.5)
    whole, rest = tenths // 10, tenths % 10
    return f"{whole}.{rest}" if rest else f"{whole}"


def _times_text(value: float) -> str:
    """How many times its first volume: one decimal, rounded half up, the same in both languages."""
    tenths = int(value * 10 + 0.5)
    return f"{tenths // 10}.{tenths % 10}"


def draw(chart: TideChart, uid: str, title: str, desc: str) -> str:
    """The picture. `uid` makes ids unique in the page."""
    size = chart.size
    parts = [
        f'<svg class="tide tide--{size.key}" viewBox="0 0 {tenth(size.width)} {tenth(size.height)}" role="img" '
        f'aria-labelledby="{uid}-title {uid}-desc">'
        f'<title id="{uid}-title">{html.escape(title)}</title><desc id="{uid}-desc">{html.escape(desc)}</desc>',
        _paints(uid),
        _rect("tide__sea", size.left, size.top, size.width - size.left - size.right, size.plot),
        *(_zone_of(z, chart, uid) for z in chart.zones),
        *(_column_of(c, chart) for c in chart.columns),
        *(_hour_of(t, chart) for t in chart.hours),
        *(_mark_of(t, chart) for t in chart.glass),
        _water(chart),
        f'<polygon class="tide__band" points="{_points(chart.band)}"/>' if chart.band else "",
        f'<polyline class="tide__line" points="{_points(chart.line)}"/>' if chart.line else "",
        *(f'<circle class="tide__dot" cx="{tenth(x)}" cy="{tenth(y)}" r="6"/>' for x, y in chart.dots),
        *(_text("tide__name", z.x + 6, z.y + z.height / 2 + 6, z.label) for z in chart.zones if z.label),
        *(_column_label(c, chart) for c in chart.columns if c.label),
        *_foot(chart),
        *(_peg_of(p, chart) for p in chart.pegs),
        _flag(chart),
        _now_line(chart),
        "</svg>",
    ]  # fmt: skip
    return "".join(parts)


def _rect(kind: str, x: float, y: float, width: float, height: float, fill: str = "", radius: float = 0) -> str:
    more = (f' rx="{tenth(radius)}"' if radius else "") + (f' fill="{fill}"' if fill else "")
    return (f'<rect class="{kind}" x="{tenth(x)}" y="{tenth(y)}" width="{tenth(width)}" '
            f'height="{tenth(height)}"{more}/>')  # fmt: skip


def _line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<line class="{kind}" x1="{tenth(x1)}" y1="{tenth(y1)}" x2="{tenth(x2)}" y2="{tenth(y2)}"/>'


def _text(kind: str, x: float, y: float, text: str, anchor: str = "start") -> str:
    return f'<text class="{kind}" x="{tenth(x)}" y="{tenth(y)}" text-anchor="{anchor}">{html.escape(text)}</text>'


def _points(points: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{tenth(x)},{tenth(y)}" for x, y in points)


def _paints(uid: str) -> str:
    """Threads over what is past its best; and the zones fade in from the left, where nobody needs them yet."""
    fades = "".join(
        f'<linearGradient id="{uid}-{kind}"><stop class="tide__stop-{kind}" offset="0" stop-opacity="0.12"/>'
        f'<stop class="tide__stop-{kind}" offset="0.9" stop-opacity="1"/></linearGradient>'
        for kind in ("early", "best", "past")
    )
    return (f'<defs><pattern id="{uid}-hatch" width="8" height="8" patternUnits="userSpaceOnUse">'
            f'<path class="tide__thread" d="M-2 2l4-4M0 8l8-8M6 10l4-4"/></pattern>{fades}</defs>')  # fmt: skip


def _zone_of(zone: Zone, chart: TideChart, uid: str) -> str:
    fill = f"url(#{uid}-{zone.kind})" if zone.x == chart.zones[0].x else ""
    kind = "tide__zone" if fill else f"tide__{zone.kind}"
    out = _rect(kind, zone.x, zone.y, zone.width, zone.height, fill)
    if zone.kind == "past":
        out += _rect("tide__threads", zone.x, zone.y, zone.width, zone.height, f"url(#{uid}-hatch)")
    return out


def _water(chart: TideChart) -> str:
    if not chart.line:
        return ""
    base = chart.size.base
    shore = ((chart.line[-1][0], base), (chart.line[0][0], base))
    return f'<polygon class="tide__water" points="{_points(chart.line + shore)}"/>'


def _is_strip(column: Column) -> bool:
    """A strip along the bottom: the fridge, the warm spot."""
    return column.kind in ("fridge", "warm")


def _column_of(column: Column, chart: TideChart) -> str:
    size = chart.size
    if _is_strip(column):
        strip = 26.0 if size.words else 14.0
        return _rect(f"tide__{column.kind}", column.x, size.base - strip, column.width, strip)
    return _rect(f"tide__{column.kind}", column.x, size.top, column.width, size.plot)


def _column_label(column: Column, chart: TideChart) -> str:
    y = chart.size.base - (7 if _is_strip(column) else 34 if _is_cold(column, chart) or not chart.size.words else 9)
    return _text("tide__word", column.x + column.width / 2, y, column.label, "middle")


def _is_cold(column: Column, chart: TideChart) -> bool:
    """Whether the strip of the fridge or the warm spot runs under this column."""
    strips = [c for c in chart.columns if _is_strip(c)]
    return any(s.x < column.x + column.width and column.x < s.x + s.width for s in strips)


def _hour_of(tick: Tick, chart: TideChart) -> str:
    size = chart.size
    return _line("tide__hour", tick.at, size.top, tick.at, size.base) + _text(
        "tide__clock", tick.at, size.top - 8, tick.label, "middle"
    )


def _mark_of(tick: Tick, chart: TideChart) -> str:
    size = chart.size
    return _line("tide__level", size.left, tick.at, size.width - size.right, tick.at) + _text(
        "tide__clock", size.left - 6, tick.at + 6, tick.label, "end"
    )


def _foot(chart: TideChart) -> Iterable[str]:
    size = chart.size
    if chart.window is not None:
        w = chart.window
        yield _rect("tide__wait", w.x, size.base - 13, w.end - w.x, 10, radius=5)
        yield _rect("tide__ripe", w.best, size.base - 13, w.end - w.best, 10, radius=5)
    yield _line("tide__base", size.left, size.base, size.width - size.right, size.base)
    for hand in chart.hands:
        yield _rect("tide__hands", hand.x - 0.5, size.base - 4, hand.width, 8, radius=2)


def _peg_of(peg: Peg, chart: TideChart) -> str:
    top = chart.size.base + 32
    thread = f'<path class="tide__peg" d="M{tenth(peg.x)} {tenth(top - 28)}L{tenth(peg.slot)} {tenth(top)}"/>'
    return (
        f'<g class="tide__step tide__step--{peg.status}">{thread}'
        f'<circle class="tide__plate" cx="{tenth(peg.slot)}" cy="{tenth(top + 17)}" r="17"/>'
        f'<use class="tide__pic" href="#pic-{html.escape(peg.kind)}" x="{tenth(peg.slot - 11)}" y="{tenth(top + 6)}" '
        'width="22" height="22"/>' + _text("tide__time", peg.slot, top + 56, peg.time, "middle") + "</g>"
    )


def _flag(chart: TideChart) -> str:
    x, top = chart.flag, chart.size.top
    return (
        _line("tide__pole", x, top - 4, x, chart.size.base)
        + f'<path class="tide__flag" d="M{tenth(x)} {tenth(top - 4)}l-24 9l24 9z"/>'
    )


def _now_line(chart: TideChart) -> str:
    if chart.now is None:
        return ""
    size = chart.size
    held = min(max(chart.now, 22.0), size.width - 22.0)
    return _line("tide__now", chart.now, size.top, chart.now, size.base + 4) + (
        _rect("tide__nowplate", held - 22, 2, 44, 23, radius=6) + _text("tide__nowword", held, 19, "now", "middle")
    )


def describe(plan: Plan, retimed: Retimed, local: Local) -> str:
    """The day in a few sentences, for the description of the picture."""
    out = [f"Time runs across, the rise of the dough runs up. Mixed at {local.day_clock(mixed_at(plan, retimed))}."]
    for step, timed in zip(plan.steps, retimed.steps, strict=True):
        if step.mark is not None and timed.status != "passed":
            times = _times_text(times_at(plan.rise.glass, timed.progress))
            out.append(f"{step.title} at {local.clock(timed.start)}, risen to {times} times its first volume.")
    out += [
        f"{sentence(busy.word or busy.kind)} from {local.clock(busy.start)} to {local.clock(busy.end)}."
        for busy in plan.busy
        if busy.start < retimed.ready_at and busy.end > mixed_at(plan, retimed)
    ]
    out.append(f"Supper at {local.day_clock(retimed.supper)}.")
    return " ".join(out)


def waits(plan: Plan, retimed: Retimed, local: Local) -> str:
    """How long the dough waits for the person, in one sentence; "" when nothing waits any more."""
    timed = waiting(plan, retimed)
    if timed is None:
        return ""

    def say(at: int) -> str:
        same_day = local.day(at) == local.day(retimed.supper)
        return local.clock(at) if same_day else f"{local.day(at)} {local.clock(at)}"

    return f"The dough waits for you from {say(timed.early_at)} to {say(timed.past_at)}; best at {say(timed.best_at)}."


def rows(plan: Plan, retimed: Retimed, local: Local) -> list[tuple[str, str, str, str]]:
    """The chart as a table: day and time, step, who is needed, how far the dough has risen by then."""
    return [
        (
            f"{local.day(timed.start)} {local.clock(timed.start)}",
            step.title,
            step.needs,
            f"×{_times_text(times_at(plan.rise.glass, timed.progress))}" if timed.progress > 0 else "",
        )
        for step, timed in zip(plan.steps, retimed.steps, strict=True)
        if timed.status != "passed"
    ]


def readout(chart: TideChart, local: Local, heat: str = "C") -> str:
    """What the pointer reads off, as JSON: [x as a share of the width, words] for each point of the curve."""
    out: list[tuple[float, str]] = []
    for r in chart.readings:
        warmth = f"{r.dough_c * 9 / 5 + 32:.0f} °F" if heat == "F" else f"{r.dough_c:.0f} °C"
        times, low, high = (_times_text(one) for one in (r.times, r.low, r.high))
        words = f"{local.clock(r.at)}: ×{times} (×{low} to ×{high}), dough at {warmth}"
        out.append((round(r.x / chart.size.width, 4), words))
    return json.dumps(out, ensure_ascii=False, separators=(",", ":"))
