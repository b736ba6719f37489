"""The tide chart as SVG text, in words, and as rows of a table for those who cannot see it.

Every colour comes from static/css/chart.css by class; text from outside (titles) is
escaped. Twin of static/js/pictures/svg.js: same shapes, same order, same text.
"""

from __future__ import annotations

import html
import json
from collections.abc import Iterable

from webapp.core.kinds import ASIDE_PLACES, HeatUnit
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep, timed_steps
from webapp.core.units import heat_text
from webapp.pictures.reading import mixed_at, times_at, until_of, waiting
from webapp.pictures.shapes import (
    Column,
    Local,
    Peg,
    Tick,
    TideChart,
)
from webapp.words.lists import sentence
from webapp.words.pages.pictures import chart_words
from webapp.words.times import five

STRIP_HEIGHT = 34.0  # how high the fridge and the warm spot stand
LATER_S = 900  # the best is so much later than supper lets it be: said beside it


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
        *(_column_of(c, chart) for c in chart.columns),
        *(_hour_of(t, chart) for t in chart.hours),
        f'<polygon class="tide__band" points="{_points(chart.band)}"/>' if chart.band else "",
        f'<polyline class="tide__line" points="{_points(chart.line)}"/>' if chart.line else "",
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


def _is_strip(column: Column) -> bool:
    """A strip along the bottom: the fridge, the warm spot."""
    return column.kind in ASIDE_PLACES


def _column_of(column: Column, chart: TideChart) -> str:
    size = chart.size
    high = min(STRIP_HEIGHT, size.plot) if _is_strip(column) else size.plot
    return _rect(f"tide__{column.kind}", column.x, size.base - high, column.width, high)


def _column_label(column: Column, chart: TideChart) -> str:
    y = chart.size.base - 13 if _is_strip(column) else chart.size.top + 20
    return _text("tide__word", column.x + column.width / 2, y, column.label, "middle")


def _hour_of(tick: Tick, chart: TideChart) -> str:
    size = chart.size
    return _line("tide__hour", tick.at, size.top, tick.at, size.base) + _text(
        "tide__clock", tick.at, size.top - 8, tick.label, "middle"
    )


def _foot(chart: TideChart) -> Iterable[str]:
    size, wait = chart.size, chart.window
    yield _line("tide__base", size.left, size.base, size.width - size.right, size.base)
    if wait is not None:
        yield _rect("tide__ripe", wait.x, size.base - 8, wait.end - wait.x, 16, radius=8)
        yield _rect("tide__ripe", wait.label_x, size.base + 63, 20, 12, radius=6)
        yield _text("tide__good", wait.label_x + 26, size.base + 75, wait.label)
    for hand in chart.hands:
        yield _rect("tide__hands", hand.x - 0.5, size.base - 4, hand.width, 8, radius=2)


def _peg_of(peg: Peg, chart: TideChart) -> str:
    base = chart.size.base
    return (
        f'<g class="tide__step--{peg.status}">'
        + _line("tide__lead", peg.x, base, peg.slot, base + 17)
        + f'<circle class="tide__peg" cx="{tenth(peg.x)}" cy="{tenth(base)}" r="6"/>'
        + _text("tide__time", peg.slot, base + 32, peg.time, "middle")
        + _text("tide__do", peg.slot, base + 51, peg.word, "middle")
        + "</g>"
    )


def _flag(chart: TideChart) -> str:
    x, top = chart.flag.x, chart.size.top
    return (
        _line("tide__pole", x, top - 4, x, chart.size.base)
        + f'<path class="tide__flag" d="M{tenth(x)} {tenth(top - 4)}l-24 9l24 9z"/>'
        + (_text("tide__eat", chart.flag.end, top + 11, chart.flag.words, "end") if chart.flag.words else "")
    )


def _now_line(chart: TideChart) -> str:
    if chart.now is None:
        return ""
    size = chart.size
    held = min(max(chart.now, 22.0), size.width - 22.0)
    return _line("tide__now", chart.now, size.top, chart.now, size.base + 4) + (
        _rect("tide__nowplate", held - 22, 2, 44, 23, radius=6)
        + _text("tide__nowword", held, 19, chart_words("chart now"), "middle")
    )


def describe(plan: Plan, retimed: Retimed, local: Local) -> str:
    """The day in a few sentences, for the description of the picture."""
    out = [chart_words("chart mixed", at=local.day_clock(mixed_at(plan, retimed)))]
    for step, timed in timed_steps(plan, retimed):
        if step.mark is not None and timed.status != "passed":
            times = _times_text(times_at(plan.rise.glass, timed.progress))
            out.append(chart_words("chart risen", step=step.title, at=local.clock(timed.start), times=times))
    out += [
        chart_words(
            "chart busy",
            what=sentence(busy.word or busy.kind),
            since=local.clock(busy.start),
            until=local.clock(busy.end),
        )
        for busy in plan.busy
        if busy.start < retimed.ready_at and busy.end > mixed_at(plan, retimed)
    ]
    out.append(chart_words("chart supper", at=local.day_clock(retimed.supper)))
    return " ".join(out)


def waits(plan: Plan, retimed: Retimed, local: Local, end: int = 0) -> str:
    """How long the dough waits for the person, in one sentence; "" when nothing waits, or not within two days.

    `end`: by when it has to be gone on with for supper to stand, as in `chart`; 0 = not known.
    """
    timed = waiting(plan, retimed)
    if timed is None or timed.best_at == 0:
        return ""
    end = until_of(timed, end)

    def say(exact: int) -> str:
        at = five(exact)
        same_day = local.day(at) == local.day(retimed.supper)
        return local.clock(at) if same_day else f"{local.day(at)} {local.clock(at)}"

    held = (
        plan.dough_perishes and timed.early_at < retimed.supper
    )  # as the bar in the picture: no longer than to supper
    past = min(timed.past_at or retimed.supper, retimed.supper) if held else timed.past_at
    good = chart_words("chart about", at=say(past)) if past else chart_words("chart long")
    until = chart_words("chart this supper", at=say(end)) if end else good
    kinds = {step.step_id: step.kind for step in plan.steps}
    what = chart_words("chart to load" if kinds[timed.step_id] == "load" else "chart to press")
    since, best = say(timed.early_at), say(timed.best_at)
    could = chart_words("chart could") if timed.best_at > (end or timed.start + LATER_S) else ""
    return chart_words("chart ready", what=what, since=since, best=best, could=could, until=until)


def _told_at(timed: RetimedStep) -> int:
    """As below the picture and in the list of steps: when it is to begin, or was over."""
    return timed.start if timed.status == "open" else timed.end


def rows(plan: Plan, retimed: Retimed, local: Local) -> list[tuple[str, str, str, str]]:
    """The chart as a table: day and time, step, who is needed, how far the dough has risen by then."""
    return [
        (
            f"{local.day(_told_at(timed))} {local.clock(_told_at(timed))}",
            step.title,
            step.needs,
            f"×{_times_text(times_at(plan.rise.glass, timed.progress))}" if timed.progress > 0 else "",
        )
        for step, timed in timed_steps(plan, retimed)
        if timed.status != "passed"
    ]


def readout(chart: TideChart, local: Local, heat: HeatUnit = "C") -> str:
    """What the pointer reads off, as JSON: [x as a share of the width, words] for each point of the curve."""
    out: list[tuple[float, str]] = []
    for r in chart.readings:
        times, low, high = (_times_text(one) for one in (r.times, r.low, r.high))
        warmth = heat_text(r.dough_c, heat)
        words = chart_words("chart read", at=local.clock(r.at), times=times, low=low, high=high, warmth=warmth)
        out.append((round(r.x / chart.size.width, 4), words))
    return json.dumps(out, ensure_ascii=False, separators=(",", ":"))
