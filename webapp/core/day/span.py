"""Intervals of time: joined, cut and taken away. Half open, UTC seconds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Span:
    """From `start` up to, not including, `end`; UTC seconds."""

    start: int
    end: int

    def meets(self, other: Span) -> bool:
        """Have they any time in common?"""
        return self.start < other.end and other.start < self.end


def union(spans: Iterable[Span], whole: Span) -> list[Span]:
    """Ascending, disjoint, cut to `whole`."""
    out: list[Span] = []
    for span in sorted(spans, key=lambda s: (s.start, s.end)):
        start, end = max(span.start, whole.start), min(span.end, whole.end)
        if start >= end:
            continue
        if out and start <= out[-1].end:
            out[-1] = Span(out[-1].start, max(out[-1].end, end))
        else:
            out.append(Span(start, end))
    return out


def minus(spans: Sequence[Span], taken: Sequence[Span]) -> list[Span]:
    """`spans` without `taken`; both ascending and disjoint."""
    out: list[Span] = []
    i = 0
    for span in spans:
        start = span.start
        while i < len(taken) and taken[i].end <= start:
            i += 1
        j = i
        while j < len(taken) and taken[j].start < span.end:
            if taken[j].start > start:
                out.append(Span(start, taken[j].start))
            start = max(start, taken[j].end)
            j += 1
        if start < span.end:
            out.append(Span(start, span.end))
    return out
