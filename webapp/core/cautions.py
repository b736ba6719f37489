"""What can hurt, said where and when it matters, from the plan's own times.

Words and sources are in data/cautions.toml. The tool is not a food-safety plan: every caution defers to the local
authority. Limits: perishable food is out no longer than 2 h, 1 h above 32 C (USDA FSIS, "danger zone", 40-140 F);
dough with milk, egg, cheese or garlic in oil follows the same rule (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from webapp.core.errors import Problem
from webapp.core.plan import Caution, Plan, PlanStep, RoomSpan, Topping
from webapp.core.wording import duration_words

OUT_LIMIT_S = 2 * 3600
HOT_LIMIT_S = 3600
HOT_ROOM_C = 32.0
AUTHORITY = "Follow your local authority's advice."


@dataclass(frozen=True)
class CautionRule:
    """One caution of the data file: where it is shown and what must be true of the plan."""

    key: str
    text: str
    source: str
    steps: tuple[str, ...] = ()  # step kinds; the first such step of the plan carries it. () = the whole bake
    when: str = "always"  # a key of CONDITIONS


@dataclass(frozen=True)
class TimeOut:
    """How long something perishable is out of the fridge, against its limit."""

    seconds: int
    limit_s: int
    use_by: int  # the instant at which the limit is reached

    @property
    def over(self) -> bool:
        """Longer than the limit."""
        return self.seconds > self.limit_s


def time_out(out_at: int, until: int, room: Sequence[RoomSpan]) -> TimeOut:
    """Time out of the fridge from `out_at` until `until`, and its limit: an hour if the room gets above 32 C meanwhile.

    Where it gets hot later, the hour is counted from `out_at` all the same, but never ends before the heat.
    """
    limit_at = out_at + OUT_LIMIT_S
    hot_at = _first_hot(out_at, min(until, limit_at), room)
    use_by = limit_at if hot_at is None else max(hot_at, out_at + HOT_LIMIT_S)
    return TimeOut(max(0, until - out_at), use_by - out_at, use_by)


def _first_hot(start: int, end: int, room: Sequence[RoomSpan]) -> int | None:
    """The first instant in [start, end) at which the room is above 32 C, or None."""
    for i, span in enumerate(room):
        begins = span.start if i else min(start, span.start)
        ends = room[i + 1].start if i + 1 < len(room) else max(end, span.start)
        if span.temp_c > HOT_ROOM_C and begins < end and ends > start:
            return max(start, begins)
    return None


@dataclass(frozen=True)
class Perishing:
    """One perishable topping of a plan and the time it spends out of the fridge before the oven."""

    key: str
    name: str
    out_at: int
    until: int
    out: TimeOut


def perishing(plan: Plan, at: Mapping[str, int] | None = None, now: int | None = None) -> tuple[Perishing, ...]:
    """Every perishable topping that goes into the oven, by the steps' actual or re-timed starts.

    `at` maps step ids to instants that differ from the plan's (done early or late, re-timed); what left the fridge
    stays out, however often the plan changes afterwards. `now` counts up to now when loading is not yet due.
    """
    moved = at or {}
    starts = {step.step_id: moved.get(step.step_id, step.start) for step in plan.steps}
    load = _start_of(plan.steps, starts, "load")
    if load is None:
        return ()
    until = load if now is None else max(load, now)
    return tuple(
        Perishing(t.key, t.name, out_at, until, time_out(out_at, until, plan.rise.room))
        for t in plan.toppings
        if t.perishable and t.when == "before"
        for out_at in [_left_fridge(plan, starts, t, load)]
    )


def _start_of(steps: Iterable[PlanStep], starts: Mapping[str, int], kind: str) -> int | None:
    """The latest start of a kind: with several loads the toppings of the last wait longest."""
    return max((starts[step.step_id] for step in steps if step.kind == kind), default=None)


def _left_fridge(plan: Plan, starts: Mapping[str, int], topping: Topping, load: int) -> int:
    """When it left the fridge: at the step that says so, else so long before loading as planned, at topping at last."""
    says = "sauce" if topping.key == "sauce" else "cheese-out" if topping.fridge_out_s else "top"
    said = [starts[step.step_id] for step in plan.steps if step.kind == says] or [load - topping.fridge_out_s]
    topped = [starts[step.step_id] for step in plan.steps if step.kind == "top"]
    return min(said + topped)


FRIDGE_SOURCE = "USDA FSIS: perishable food is out no longer than 2 h, 1 h above 32 °C (90 °F)"


def perishable_cautions(plan: Plan, at: Mapping[str, int] | None = None, now: int | None = None) -> tuple[Caution, ...]:
    """What the fridge clock says about each perishable topping: within its limit, or not to be eaten."""
    step_id = next((step.step_id for step in plan.steps if step.kind in ("cheese-out", "top")), "")
    found = perishing(plan, at, now)
    return tuple(Caution(f"out-{p.key}", _out_words(p), sourced(FRIDGE_SOURCE), step_id) for p in found)


def _out_words(p: Perishing) -> str:
    spent, limit = duration_words(p.out.seconds), duration_words(p.out.limit_s)
    if p.out.over:
        return f"{p.name}: {spent} out of the fridge is over the limit of {limit}. Throw it away and take fresh."
    return f"{p.name}: {spent} out of the fridge before the oven; the limit is {limit}, however the plan moves."


def sourced(source: str) -> str:
    """The source with the standing deferral."""
    return f"{source}. {AUTHORITY}"


def _has_slab(plan: Plan) -> bool:
    return plan.oven.slab != "tray alone"


def _dough_allergens(plan: Plan) -> set[str]:
    return {key for line in plan.lines for key in line.allergens}


CONDITIONS: dict[str, Callable[[Plan], bool]] = {
    "always": lambda _: True,
    "slab": _has_slab,
    "no-slab": lambda plan: not _has_slab(plan),
    "oil": lambda plan: any(line.kind == "fat" for line in plan.lines),
    "rich": lambda plan: bool(_dough_allergens(plan) & {"milk", "eggs"}),
    "perishable": lambda plan: any(t.perishable for t in plan.toppings),
    "after": lambda plan: any(t.perishable and t.when == "after" for t in plan.toppings),
    "rim": lambda plan: any(t.key == "rim" for t in plan.toppings),
    "loads": lambda plan: plan.oven.loads > 1,
}


def for_plan(plan: Plan, rules: Iterable[CautionRule]) -> tuple[Caution, ...]:
    """All cautions of a plan, in the order of its steps, those of the whole bake first.

    `plan` as assembled, its own `cautions` ignored. A rule for steps that the plan has none of is left out.
    """
    said = [c for rule in rules if CONDITIONS[rule.when](plan) for c in _placed(plan, rule)]
    said.extend(perishable_cautions(plan))
    order = {step.step_id: i for i, step in enumerate(plan.steps)}
    return tuple(sorted(said, key=lambda c: order.get(c.step_id, -1)))


def _placed(plan: Plan, rule: CautionRule) -> list[Caution]:
    text = rule.text.format(slab=plan.oven.slab, dial=plan.oven.dial)
    if not rule.steps:
        return [Caution(rule.key, text, sourced(rule.source))]
    at = next((step.step_id for step in plan.steps if step.kind in rule.steps), None)
    return [] if at is None else [Caution(rule.key, text, sourced(rule.source), at)]


def refuse_long_bench(cold_only: bool, bench_s: int, room_c: float) -> Problem | None:
    """The problem of leaving a dough with milk, egg, cheese or garlic in oil on the bench too long, or None.

    `bench_s` all seconds between mixing and oven that it is not in the fridge, at a room of `room_c` at its warmest.
    """
    limit = HOT_LIMIT_S if room_c > HOT_ROOM_C else OUT_LIMIT_S
    if not cold_only or bench_s <= limit:
        return None
    return Problem(
        "method",
        f"A dough with milk, egg, cheese or garlic in oil may not stand {duration_words(bench_s)} at room temperature;"
        f" the limit is {duration_words(limit)}.",
        f"Ferment it the cold way, in the fridge. {AUTHORITY}",
    )
