"""A curve with no more points than the eye can tell: what a page carries over the wire; the phone draws all of them."""

from __future__ import annotations

from dataclasses import replace

from webapp.pictures.shapes import TideChart

Point = tuple[float, float]

UNSEEN = 0.2  # units of the drawing: half of the thinnest edge of a screen that shows 320 of them


def on_the_page(chart: TideChart) -> TideChart:
    """The same chart, its line and its band of fewer points."""
    low = len(chart.band) // 2  # along the upper edge there, and back along the lower one
    return replace(chart, band=(*thinned(chart.band[:low]), *thinned(chart.band[low:])), line=thinned(chart.line))


def thinned(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Those of the points between which all others lie nearly on a straight line: none is further off than UNSEEN.

    By always keeping the one that is furthest off (Ramer 1972; Douglas and Peucker 1973).
    """
    keep, spans = {0, len(points) - 1}, [(0, len(points) - 1)]
    while spans:
        first, last = spans.pop()
        off = [(_off(points[i], points[first], points[last]), i) for i in range(first + 1, last)]
        most, furthest = max(off, default=(0.0, 0))
        if most > UNSEEN:
            keep.add(furthest)
            spans += [(first, furthest), (furthest, last)]
    return tuple(point for i, point in enumerate(points) if i in keep)


def _off(point: Point, first: Point, last: Point) -> float:
    """How far above or below the straight line, which runs from left to right or back."""
    run = last[0] - first[0]
    share = (point[0] - first[0]) / run if run else 0.0
    return abs(point[1] - first[1] - share * (last[1] - first[1]))
