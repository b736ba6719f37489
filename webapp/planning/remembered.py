"""A planner that remembers: the same question within the same five minutes is worked out once.

The home page asks what the planner would propose at every look, and nothing of it is kept in the store. Starts lie on a
grid of five minutes, so all who ask between two of its lines get one answer: that of the line ahead.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import replace

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import GRID_S
from webapp.planning.evenings import Planner
from webapp.planning.question import NOTHING_BOOKED, Booked, Stock

MOST = 64  # answers: a household looks at a handful in a morning, and one is some 100 kB


def line_ahead(now: int) -> int:
    """The next line of the grid, `now` itself when it is one."""
    return -(-now // GRID_S) * GRID_S


class Remembered:
    """A `Planner` in front of another one; safe to be asked by several threads, who never wait for each other."""

    def __init__(self, planner: Planner, most: int = MOST) -> None:
        """`most` answers are kept; the one that was asked for longest ago goes first."""
        self._planner, self._most = planner, most
        self._answers: OrderedDict[Hashable, tuple[Plan, ...] | PlanError] = OrderedDict()
        self._lock = threading.Lock()

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, bake_id: str, stock: Stock, busy: Booked = NOTHING_BOOKED
    ) -> tuple[Plan, ...]:
        """As the planner in behind, asked at the next line of the grid; a refusal is remembered too."""
        key = (wish, kitchen, line_ahead(now), *(tuple(one.items()) for one in _choices(stock)), busy)
        answer = self._known(key)
        if answer is None:
            answer = self._asked(wish, kitchen, line_ahead(now), stock, busy)
            self._keep(key, answer)
        if isinstance(answer, PlanError):
            raise answer.with_traceback(None)
        return tuple(replace(plan, bake_id=bake_id) for plan in answer)

    def _asked(
        self, wish: Wish, kitchen: Kitchen, now: int, stock: Stock, busy: Booked
    ) -> tuple[Plan, ...] | PlanError:
        try:
            return self._planner(wish, kitchen, now, "", stock, busy)
        except PlanError as error:
            return error

    def _known(self, key: Hashable) -> tuple[Plan, ...] | PlanError | None:
        with self._lock:
            answer = self._answers.get(key)
            if answer is not None:
                self._answers.move_to_end(key)
            return answer

    def _keep(self, key: Hashable, answer: tuple[Plan, ...] | PlanError) -> None:
        with self._lock:
            self._answers[key] = answer
            while len(self._answers) > self._most:
                self._answers.popitem(last=False)


def _choices(stock: Stock) -> tuple[dict[str, Hashable], ...]:
    return dict(stock.formulas), dict(stock.toppings), dict(stock.methods)
