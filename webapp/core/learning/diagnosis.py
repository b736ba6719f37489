"""When it comes out wrong: the causes of what was ticked, in order of likelihood for this bake's own numbers.

Knowledge is in tables/trouble.toml, each row with its source. A cause starts with a weight from common practice; every
piece of evidence in the bake's numbers multiplies it (odds, as in a naive Bayes table). Causes that explain several
ticks add up. One change is suggested, never more: a bake changed in two ways teaches nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from webapp.core.kinds import BakeNumber, HabitField, OutcomePart


@dataclass(frozen=True)
class Sign:
    """Something a person can tick."""

    key: str
    name: str
    part: OutcomePart
    beside: str = ""  # the same beside the name of its part; "" where it is the name


@dataclass(frozen=True)
class Evidence:
    """If the bake's `number` is at least / at most this, the cause is `times` as likely."""

    number: BakeNumber
    times: float
    at_least: float | None = None
    at_most: float | None = None

    def holds(self, numbers: Mapping[BakeNumber, float]) -> bool:
        """Known and within the bounds; what is not known is no evidence."""
        value = numbers.get(self.number)
        if value is None:
            return False
        return (self.at_least is None or value >= self.at_least) and (self.at_most is None or value <= self.at_most)


@dataclass(frozen=True)
class Suggestion:
    """One change to try next time: `field` of core/learning/habits.py moved by `amount`, in words."""

    field: HabitField
    amount: float
    text: str
    step: str = ""  # kind of step at which words alone are needed


@dataclass(frozen=True)
class CauseRule:
    """One possible cause of one or more signs."""

    key: str
    text: str
    source: str
    signs: tuple[tuple[str, float], ...]  # sign key, weight
    change: Suggestion
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True)
class Cause:
    """A cause with its share of all the likelihood (the shares of one diagnosis add up to 1) and what speaks for it."""

    key: str
    text: str
    share: float
    source: str
    change: Suggestion
    because: tuple[BakeNumber, ...] = ()  # names of the numbers that spoke for it


@dataclass(frozen=True)
class Diagnosis:
    """Causes, the likeliest first, and the one change to try next (that of the first cause)."""

    causes: tuple[Cause, ...]
    suggestion: Suggestion | None


def causes(ticks: Iterable[str], numbers: Mapping[BakeNumber, float], rules: Iterable[CauseRule]) -> Diagnosis:
    """Causes of the ticked signs by this bake's numbers, likeliest first; nothing ticked, nothing found.

    A tie keeps the order of the data file.
    """
    ticked = set(ticks)
    weighed = [(rule, *_likelihood(rule, ticked, numbers)) for rule in rules]
    weighed = [entry for entry in weighed if entry[1] > 0]
    total = sum(weight for _, weight, _ in weighed)
    weighed.sort(key=lambda entry: -entry[1])
    found = tuple(
        Cause(rule.key, rule.text, weight / total, rule.source, rule.change, because)
        for rule, weight, because in weighed
    )
    return Diagnosis(found, found[0].change if found else None)


def _likelihood(
    rule: CauseRule, ticked: set[str], numbers: Mapping[BakeNumber, float]
) -> tuple[float, tuple[BakeNumber, ...]]:
    weight = sum(w for sign, w in rule.signs if sign in ticked)
    spoke = tuple(e for e in rule.evidence if e.holds(numbers))
    for evidence in spoke:
        weight *= evidence.times
    return weight, tuple(e.number for e in spoke if e.times > 1)
