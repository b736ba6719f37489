"""A planner that remembers: the same question within the same five minutes is worked out once.

The home page and the week ask what the planner would propose at every look, and nothing of it is kept in the store.
Starts lie on a grid of five minutes, so all who ask between two of its lines get one answer: that of the line ahead.
A question holds all that its answer depends on and not whose it is: kitchens that are alike, as those of everybody who
is new, share one answer, and who asks while it is worked out waits for it.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Generic, TypeVar

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import line_ahead
from webapp.core.planner.propose import Evening
from webapp.planning.evenings import FirstPlanner, Planner, WeekPlanner
from webapp.planning.question import NOTHING_BOOKED, Booked, Stock

MOST = 64  # answers: a household looks at a handful in a morning, and one is some 100 kB

T = TypeVar("T")


class _Wanted(threading.local):
    """In this thread."""

    known_alone = False


_wanted = _Wanted()


class NotKnown(BaseException):  # no fault, and nothing on the way may take it for one
    """What is not remembered was asked for, by somebody who wants to hear what is and nothing else."""


@contextmanager
def known_alone() -> Iterator[None]:
    """Within it whatever would have to be worked out, or waited for, raises NotKnown instead."""
    _wanted.known_alone = True
    try:
        yield
    finally:
        _wanted.known_alone = False


def is_known_alone() -> bool:
    """Whether nothing is to be worked out now."""
    return _wanted.known_alone


@dataclass
class _Turn:
    """At one question: who has it works the answer out."""

    taken: threading.Lock = field(default_factory=threading.Lock)
    users: int = 0


class Memory(Generic[T]):
    """By the whole of a question, what was answered; safe for several threads, which wait for each other only where
    they ask the same."""

    def __init__(self, most: int) -> None:
        """`most` answers are kept; the one that was asked for longest ago goes first."""
        self._most = most
        self._answers: OrderedDict[Hashable, T | PlanError] = OrderedDict()
        self._turns: dict[Hashable, _Turn] = {}
        self._lock = threading.Lock()

    def of(self, question: Hashable, asked: Callable[[], T]) -> T:
        """What was answered to that question, else what `asked` answers now; a refusal is remembered too."""
        answer = self._known(question)
        if answer is None and is_known_alone():
            raise NotKnown
        if answer is None:
            with self._turn(question):
                answer = self._known(question)  # whoever had the turn before may have found it
                if answer is None:
                    answer = _or_refusal(asked)
                    self._keep(question, answer)
        if isinstance(answer, PlanError):
            raise answer.with_traceback(None)
        return answer

    @contextmanager
    def _turn(self, question: Hashable) -> Iterator[None]:
        with self._lock:
            turn = self._turns.setdefault(question, _Turn())
            turn.users += 1
        try:
            with turn.taken:
                yield
        finally:
            with self._lock:
                turn.users -= 1
                if not turn.users:
                    del self._turns[question]

    def _known(self, question: Hashable) -> T | PlanError | None:
        with self._lock:
            answer = self._answers.get(question)
            if answer is not None:
                self._answers.move_to_end(question)
            return answer

    def _keep(self, question: Hashable, answer: T | PlanError) -> None:
        with self._lock:
            self._answers[question] = answer
            while len(self._answers) > self._most:
                self._answers.popitem(last=False)


def first_of(planner: Planner) -> FirstPlanner:
    """The first of what another planner answers."""

    def first(wish: Wish, kitchen: Kitchen, now: int, likely: str, stock: Stock, busy: Booked) -> Plan | None:
        del likely
        return next(iter(planner(wish, kitchen, now, "", stock, busy)), None)

    return first


class Remembered:
    """A `Planner` in front of another one."""

    def __init__(self, planner: Planner, most: int = MOST) -> None:
        """`most` answers are kept."""
        self._planner = planner
        self._answers = Memory[tuple[Plan, ...]](most)

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, bake_id: str, stock: Stock, busy: Booked = NOTHING_BOOKED
    ) -> tuple[Plan, ...]:
        """As the planner in behind, asked at the next line of the grid; a refusal is remembered too."""
        ahead = line_ahead(now)
        plans = self._answers.of(
            (wish, kitchen, ahead, _choices(stock), busy),
            lambda: self._planner(wish, kitchen, ahead, "", stock, busy),
        )
        return tuple(replace(plan, bake_id=bake_id) for plan in plans)


class RememberedWeek:
    """A `WeekPlanner` in front of another one."""

    def __init__(self, planner: WeekPlanner, most: int = MOST) -> None:
        """`most` answers are kept."""
        self._planner = planner
        self._answers = Memory[tuple[Evening, ...]](most)

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, suppers: tuple[int, ...], stock: Stock, busy: Booked
    ) -> tuple[Evening, ...]:
        """As the planner in behind, asked at the next line of the grid; a refusal is remembered too."""
        ahead = line_ahead(now)
        return self._answers.of(
            (wish, kitchen, ahead, suppers, _choices(stock), busy),
            lambda: self._planner(wish, kitchen, ahead, suppers, stock, busy),
        )


class RememberedFirst:
    """A `FirstPlanner` in front of another one."""

    def __init__(self, planner: FirstPlanner, most: int = MOST) -> None:
        """`most` answers are kept."""
        self._planner = planner
        self._answers = Memory[tuple[Plan, ...]](most)

    def __call__(self, wish: Wish, kitchen: Kitchen, now: int, likely: str, stock: Stock, busy: Booked) -> Plan | None:
        """As the planner in behind, asked at the next line of the grid; a refusal is remembered too."""
        ahead = line_ahead(now)

        def asked() -> tuple[Plan, ...]:
            plan = self._planner(wish, kitchen, ahead, likely, stock, busy)
            return (plan,) if plan else ()

        return next(iter(self._answers.of((wish, kitchen, ahead, likely, _choices(stock), busy), asked)), None)


def _or_refusal(asked: Callable[[], T]) -> T | PlanError:
    try:
        return asked()
    except PlanError as error:
        return error


def _choices(stock: Stock) -> Hashable:
    return tuple(tuple(dict(one).items()) for one in (stock.formulas, stock.toppings, stock.methods))
