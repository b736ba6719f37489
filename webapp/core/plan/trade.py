"""What an offer gives and what it costs, beside its alternatives."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import AsideKind, CostKey


@dataclass(frozen=True)
class Worse:
    """One thing in which an offer lost against the first: a row of the table of weights, and how far both go in it."""

    key: CostKey
    this: int = 0  # slack: seconds; visit: how many; else nothing to count
    first: int = 0


@dataclass(frozen=True)
class Aside:
    """What an offer has to say of itself, with its number; those that say nothing are left out."""

    kind: AsideKind
    temp_c: float = 0.0  # warm-kitchen: the warmest it gets
    keeps_s: int = 0  # warm-kitchen: so long a dough keeps on the bench then
    share: float = 0.0  # loaded-...: progress over the best, of the load that is furthest off
    load: int = 0  # loaded-...: which load, 0 where there is one


@dataclass(frozen=True)
class Trade:
    """What this plan gives and what it costs, beside its alternatives."""

    method: str  # key of tables/methods.toml
    method_name: str
    slack_s: int  # how much later than planned the person may come to the dough before it is past its best
    early_s: int  # how much sooner it is already usable
    hands_on_s: int
    score: int  # objective value of core/planner/propose.py, smaller is better
    slack_sure_s: int = 0  # slack_s even for a dough as quick as the edge of the band
    visits: int = 0  # to the kitchen
    worse: tuple[Worse, ...] = ()  # in what it lost against the first offer
    asides: tuple[Aside, ...] = ()
    sentence: str = ""  # shown: what it gives and what it asks for
    why_not: tuple[str, ...] = ()  # shown: why it is not first
