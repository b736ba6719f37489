"""The planner's model put to a general-purpose constraint solver (OR-tools CP-SAT): same day, same table of weights.

The solver is told the domains, the prices and, as tables, what a dough takes up in one place; it chooses every step's
start, which folds to keep, when to top and to make the sauce, all at once. One oven load; the bulk in one stage, or in
the fridge with more than enough slack (asserted).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ortools.sat.python import cp_model

from tests.oracles.plain_day import POINTS, Model, begun, loads_at, price, share_of_way, wait_points, waits
from webapp.core.formula.method import MethodStep
from webapp.core.kinds import HeatedPlace

Row = tuple[int, ...]
MINUTES = 5


class SolverDay:
    """One wish and one method as a CP-SAT model."""

    def __init__(self, model: Model) -> None:
        self.plain = model
        self.wanted = model.wanted
        self.cp = cp_model.CpModel()
        self.first = math.ceil(self.wanted.now / 300)
        self.last = self.wanted.supper // 300
        self.costs: list[cp_model.LinearExprT] = []
        self.busy: list[cp_model.IntervalVar] = []
        self.possible = True
        self.ages: list[cp_model.IntVar] = []  # of each stay, in millionths of a dough's life
        self.press = model.kinds.index("press")
        self.load = len(model.kinds) - 1
        self.starts = [self._start(number) for number in range(len(model.moves))]
        if self.possible:
            self._waits()
            self._rise()
            self._beside()
        if self.possible:
            self.cp.add_no_overlap(self.busy)
            self.cp.minimize(sum(self.costs))

    def solve(self, seconds: float = 60.0) -> int | None:
        """Least points, or None when there is no such day."""
        if not self.possible:
            return None
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 1
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.max_time_in_seconds = seconds
        status = solver.solve(self.cp)
        assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), solver.status_name(status)
        return round(solver.objective_value) if status == cp_model.OPTIMAL else None

    # --- domains and prices ---------------------------------------------------------------------------------------

    def _start(self, number: int) -> cp_model.IntVar:
        if number == self.load:
            prices = {s: loads_at(self.wanted, 0, (0, 0), s) for s in range(self.first, self.last + 1)}
        else:
            hands = self.plain.moves[number].hands
            prices = {s: price(self.wanted, s, hands) for s in range(self.first, self.last + 1)}
        if number == 0:
            prices = {s: p + begun(self.wanted, s, hands) for s, p in prices.items() if p is not None}
        start, _ = self._priced({s: p for s, p in prices.items() if p is not None}, f"x{number}")
        minutes = self.wanted.baking.load_min if number == self.load else self.plain.moves[number].hands
        self._takes(start, minutes)
        return start

    def _priced(self, prices: dict[int, int], name: str) -> tuple[cp_model.IntVar, cp_model.IntVar]:
        """A slot among those with a price, its price added to the costs."""
        slot = self._int(prices, name)
        cost = self._int(prices.values(), f"{name} price")
        self._table([slot, cost], list(prices.items()))
        self.costs.append(cost)
        return slot, cost

    def _int(self, values: object, name: str) -> cp_model.IntVar:
        found = sorted(set(values))  # type: ignore[call-overload]
        self.possible = self.possible and bool(found)
        return self.cp.new_int_var_from_domain(cp_model.Domain.from_values(found or [0]), name)

    def _table(self, columns: Sequence[cp_model.LinearExprT], rows: Sequence[Row]) -> None:
        self.possible = self.possible and bool(rows)
        if rows:
            self.cp.add_allowed_assignments(list(columns), rows)

    def _takes(self, slot: cp_model.LinearExprT, minutes: int, shift: int = 0) -> None:
        at = slot * MINUTES + shift
        self.busy.append(self.cp.new_fixed_size_interval_var(at, minutes, ""))

    # --- waits and passing steps ----------------------------------------------------------------------------------

    def _waits(self) -> None:
        for number, step in enumerate(self.plain.moves):
            if number:
                self._wait(step, self.starts[number] - self._end(number - 1))
                self._unseen(number)
            if number < self.load:
                self._passing(number)
        if self.plain.method.through_night:
            self._through_a_night()
        hours = self.cp.new_int_var(0, 10_000, "hours")
        self.cp.add_division_equality(hours, self.starts[self.plain.meet] - self.starts[0], 12)
        short = self.cp.new_int_var(0, 24 * POINTS["ferment"], "short")
        self.cp.add_max_equality(short, [0, (24 - hours) * POINTS["ferment"]])
        self.costs.append(short)

    def _through_a_night(self) -> None:
        meet, past = self.plain.meet, []
        for night in self.plain.nights():
            lies_within = self.cp.new_bool_var("night")
            self.cp.add(self._end(meet - 1) * 300 <= night).only_enforce_if(lies_within)
            self.cp.add(self.starts[meet] * 300 >= night).only_enforce_if(lies_within)
            past.append(lies_within)
        self.cp.add_bool_or(past)

    def _end(self, number: int) -> cp_model.LinearExprT:
        return self.starts[number] + self.plain.length(number)

    def _wait(self, step: MethodStep, wait: cp_model.LinearExprT, kept: cp_model.IntVar | None = None) -> None:
        least, _, most = waits(step)
        var = self.cp.new_int_var(least, most, "wait")
        cost = self.cp.new_int_var(0, 1000, "wait price")
        self._table([var, cost], [(w, wait_points(step, w) or 0) for w in range(least, most + 1)])
        if kept is None:
            self.cp.add(var == wait)
            self.costs.append(cost)
            return
        self.cp.add(var == wait).only_enforce_if(kept)
        self._cost_if(cost, kept, POINTS["left-out"])

    def _cost_if(self, cost: cp_model.IntVar, kept: cp_model.IntVar, otherwise: int) -> None:
        paid = self.cp.new_int_var(0, 2000, "paid")
        self.cp.add(paid == cost).only_enforce_if(kept)
        self.cp.add(paid == otherwise).only_enforce_if(kept.negated())
        self.costs.append(paid)

    def _unseen(self, number: int) -> None:
        """Points of the hours before that move with nobody there: slots alone by its start, less those by the last."""
        per_slot = self.plain.unseen_per_slot(number)
        if not per_slot:
            return
        by = [self.cp.new_int_var(0, 10_000, "alone") for _ in range(2)]
        for var, slot, shift in ((by[0], number, 0), (by[1], number - 1, self.plain.length(number - 1))):
            domain = _values(self.starts[slot])
            self._table([self.starts[slot], var], [(s, self.plain.alone_by(s + shift)) for s in domain])
        points = self.cp.new_int_var(0, 10_000, "unseen")
        self.cp.add_division_equality(points, (by[0] - by[1]) * per_slot, 12_000)
        self.costs.append(points)

    def _passing(self, number: int) -> None:
        at: cp_model.LinearExprT = self._end(number)
        for step in self.plain.passing[number]:
            long = math.ceil(step.hands / MINUTES)
            kept = self.cp.new_bool_var("kept")
            prices = {s: price(self.wanted, s, long * MINUTES) for s in range(self.first, self.last + 1)}
            rows = {s: p for s, p in prices.items() if p is not None}
            slot, cost = self._int(rows, "fold"), self.cp.new_int_var(0, 1000, "fold price")
            self._table([slot, cost], list(rows.items()))
            if not step.optional:
                self.cp.add(kept == 1)
            self._wait(step, slot - at, kept)
            self._cost_if(cost, kept, 0)
            self.cp.add(slot + long + 3 <= self.starts[number + 1]).only_enforce_if(kept)
            following = self.cp.new_int_var(self.first, self.last + 100, "at")
            self.cp.add(following == slot + long).only_enforce_if(kept)
            self.cp.add(following == at).only_enforce_if(kept.negated())
            interval = self.cp.new_optional_fixed_size_interval_var(slot * MINUTES, long * MINUTES, kept, "")
            self.busy.append(interval)
            at = following

    # --- the rise -------------------------------------------------------------------------------------------------

    def _rise(self) -> None:
        dough, plain = self.wanted.dough, self.plain
        heat: list[tuple[int, int]] = []  # reachable (slot of the move, tenths after it)
        tenths: cp_model.IntVar | None = None
        bulk: list[cp_model.LinearExprT] = []
        most: cp_model.LinearExprT = math.floor(dough.warm_seconds(dough.least_percent))
        proof: list[cp_model.LinearExprT] = []
        vessel = dough.vessel
        for number in range(self.load + 1):
            kind = plain.kinds[number]
            if number:
                start, end, heat, tenths, extra = self._stay(number, vessel, heat, tenths)
                if kind == "mix":
                    most = extra
                elif number <= self.press:
                    bulk.append(start if number == self.press else end)
                if number == self.press:
                    proof.append(end - start)
                elif number > self.press:
                    proof.append(start if number == self.load else end)
            if kind in ("preferment", "mix"):
                sponge = dough.sponge if kind == "preferment" else None
                domain = range(self.first, self.last + 1)
                mixed = {
                    s: sponge.mixed_c if sponge else dough.mixed(plain.warmth.room_at(s), number > 0) for s in domain
                }
                heat, tenths = [(s, math.floor(c * 10 + 0.5)) for s, c in mixed.items()], None
            vessel = "sponge" if kind == "preferment" else "tray" if self.press <= number else dough.vessel
        if not self.possible:
            return
        whole = self.cp.new_int_var(1, 10**7, "whole")
        self.cp.add(whole == sum(bulk))
        share = self.cp.new_int_var(100, 450, "share")
        self.cp.add_division_equality(share, sum(proof) * 1000, whole)
        cost = self.cp.new_int_var(0, 60, "proof")
        rows = [(s, share_of_way(s, 100, 200, 450, POINTS["proof"])) for s in range(100, 451)]
        self._table([share, cost], rows)
        self.costs.append(cost)
        self._yeast(whole, share, most)
        self._keeps()

    def _yeast(self, whole: cp_model.IntVar, share: cp_model.IntVar, most: cp_model.LinearExprT) -> None:
        """The yeast of least loss over pressing and loading is between the least and the most."""
        factors = [(s, math.floor(1e6 * ((1000 + s) / 1200) ** 0.8 + 0.5)) for s in range(100, 451)]
        factor = self._int((f for _, f in factors), "factor")
        self._table([share, factor], factors)
        product, aim = self.cp.new_int_var(0, 2 * 10**13, "product"), self.cp.new_int_var(0, 2 * 10**7, "aim")
        self.cp.add_multiplication_equality(product, whole, factor)
        self.cp.add_division_equality(aim, product, 10**6)
        self.cp.add(aim >= math.ceil(self.wanted.dough.warm_seconds(self.wanted.dough.most_percent)))
        self.cp.add(aim <= most)

    def _keeps(self) -> None:
        """Neither preferment nor dough is too old on the bench; of the dough's flour a part has aged before."""
        mix, ages = self.plain.kinds.index("mix"), self.ages
        self.cp.add(sum(ages[mix:]) + (self.sponge_part() if mix else 0) <= 1_000_000)

    def sponge_part(self) -> cp_model.IntVar:
        """What the preferment's age makes of the dough's."""
        assert self.wanted.dough.sponge is not None
        self.cp.add(self.ages_at_mixing <= 1_000_000)
        part = self.cp.new_int_var(0, 10**7, "part")
        flour = self.wanted.dough.sponge.flour_percent / 100.0
        rows = [(age, math.floor(age * flour)) for age in _values(self.ages[0])]
        self._table([self.ages[0], part], rows)
        return part

    def _stay(
        self, number: int, vessel: str, heat: list[tuple[int, int]], tenths: cp_model.IntVar | None
    ) -> tuple[cp_model.IntVar, cp_model.IntVar, list[tuple[int, int]], cp_model.IntVar, cp_model.IntVar]:
        """The dough between two moves as a table: (begun, how warm, next) to (warm seconds, at its end, how warm)."""
        plain, moves = self.plain, self.plain.moves
        place = moves[number - 1].goes_to
        least, _, most = waits(moves[number])
        allowed = set(_values(self.starts[number]))
        before = set(_values(self.starts[number - 1]))
        rows, reached = [], set()
        for slot, warmth in sorted(set(heat)):
            if slot not in before:
                continue
            since = slot + plain.length(number - 1)
            walk = plain.warmth.walk(place, vessel, since, warmth)
            for start in range(since + least, since + most + 1):
                if start not in allowed:
                    continue
                n, long = start - since, plain.length(number)
                warm = math.floor(walk.at(n)[0] + 0.5)
                more, temp = walk.at(n + long)
                after = math.floor(temp * 10 + 0.5)
                until = start if number == self.load else start + long
                aged = plain.warmth.aged(place, since, until), plain.warmth.aged(place, since, start)
                extra = self._extra(number, walk, n, vessel, warm, (place, start, aged[1]))
                rows.append((slot, warmth, start, warm, math.floor(more + 0.5), after, *extra, *aged))
                reached.add((start, after))
        columns = [self._int((r[i] for r in rows), f"stay{number}-{i}") for i in (3, 4, 5, 6, 7, 8, 9)]
        self.ages.append(columns[5])
        if moves[number].kind == "mix":
            self.ages_at_mixing = columns[6]
        known = tenths if tenths is not None else self._int((r[1] for r in rows), "tenths")
        self._table([self.starts[number - 1], known, self.starts[number], *columns], rows)
        self.costs.append(columns[4])
        return columns[0], columns[1], sorted(reached), columns[2], columns[3]

    def _extra(
        self, number: int, walk: object, n: int, vessel: str, warm: int, aged: tuple[HeatedPlace, int, int]
    ) -> tuple[int, int]:
        """The most warm seconds beside a preferment that ripens so, and the points of slack at the long wait's end."""
        dough, kind, most = self.wanted.dough, self.plain.kinds[number], 10**7
        if kind == "mix" and dough.sponge:
            low, high = (dough.sponge.warm_seconds(p) for p in (dough.most_percent, dough.least_percent))
            own = dough.sponge.instant_percent(max(warm, 1)) * dough.sponge.flour_percent / 100
            fits = math.ceil(low) <= warm <= math.floor(high)
            most = min(math.floor(dough.warm_seconds(p)) for p in (own, dough.least_percent)) if fits else 0
        if number != self.plain.meet:
            return most, 0
        if kind in ("press", "mix"):
            return most, self.plain.slack_points({"whole": warm, "ripe": warm, "stay": (walk, n, vessel), "aged": aged})
        least = math.ceil(dough.warm_seconds(dough.most_percent))
        enough = self.plain.slack_points({"whole": least, "ripe": 0, "stay": (walk, n, vessel), "aged": aged})
        assert enough == 0, "this oracle is for cold methods with slack to spare"
        return most, 0

    # --- topping, sides, the oven ---------------------------------------------------------------------------------

    def _beside(self) -> None:
        wanted, load = self.wanted, self.starts[self.load]
        for action in wanted.baking.actions:
            self._takes(load, action.hands_min, action.minute)
        top = math.ceil(wanted.top_min / MINUTES)
        self._task(wanted.top_min, [(-g, share_of_way(g, 0, 0, 4, POINTS["side-task"])) for g in range(5)], top)
        for side in wanted.sides:
            first, best, last = (math.ceil(m / MINUTES) for m in (side.first_min, side.best_min, side.last_min))
            rows = [(-b, share_of_way(-b, -first, -best, -last, POINTS["side-task"])) for b in range(last, first + 1)]
            self._task(side.hands_min, rows, 0)

    def _task(self, minutes: int, rows: list[Row], long: int) -> None:
        shift = self._int((r[0] for r in rows), "shift")
        cost = self._int((r[1] for r in rows), "shift price")
        self._table([shift, cost], rows)
        self.costs.append(cost)
        slots = {s: price(self.wanted, s, minutes) for s in range(self.first, self.last + 1)}
        slot, _ = self._priced({s: p for s, p in slots.items() if p is not None}, "task")
        self.cp.add(slot == self.starts[self.load] + shift - long)
        self._takes(slot, minutes)


def _values(var: cp_model.IntVar) -> list[int]:
    bounds = list(var.proto.domain)
    return [v for low, high in zip(bounds[::2], bounds[1::2], strict=True) for v in range(low, high + 1)]
