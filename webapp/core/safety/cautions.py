"""What can hurt, said where and when it matters, from the plan's own times.

Words and sources are in tables/cautions.toml. The tool is not a food-safety plan: every caution defers to the local
authority. Perishable toppings are counted by fridge_clock.py; dough with milk, egg, cheese or garlic in oil follows the
same rule (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from webapp.core.kinds import CautionKey, CautionWhen, OutOfFridge, StepKind, ToppingRisk, ToppingWhen
from webapp.core.now.fridge_clock import (
    DOUGH,
    Perishing,
    is_eaten,
    perishing,
    perishing_now,
)
from webapp.core.plan.caution import HOT_LIMIT_S, HOT_ROOM_C, OUT_LIMIT_S, Caution
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.state import State


@dataclass(frozen=True)
class CautionRule:
    """One caution of the data file: where it is shown and what must be true of the plan."""

    key: CautionKey
    steps: tuple[StepKind, ...] = ()  # the first such step of the plan carries it. () = the whole bake
    when: CautionWhen = "always"
    last: bool = False  # carried by the last such step, where several loads have one each


def perishable_cautions(plan: Plan, at: Mapping[str, int] | None = None, now: int | None = None) -> tuple[Caution, ...]:
    """What the fridge clock says about dough and toppings that perish: within their limit, or not to be eaten."""
    found: dict[str, list[Perishing]] = {}
    for one in perishing(plan, at, now):
        found.setdefault(_where_out(plan, one), []).append(one)
    return tuple(caution for step_id, there in found.items() for caution in _said_of(there, now, step_id))


def _where_out(plan: Plan, one: Perishing) -> str:
    """The step at which it leaves the fridge, the dough for the last time."""
    if one.key == DOUGH:
        chain = [step for step in plan.steps if step.chain]
        cold = [i for i, step in enumerate(chain) if step.place == "fridge"]
        return chain[cold[-1] + 1].step_id if cold else chain[0].step_id
    early = any(topping.key == one.key and topping.fridge_out_s for topping in plan.toppings)
    kinds = ("sauce", "cheese-out", "top") if one.key == "sauce" else ("cheese-out", "top") if early else ("top",)
    return next((step.step_id for kind in kinds for step in plan.steps if step.kind == kind), "")


def out_too_long(plan: Plan, retimed: Retimed, state: State, now: int) -> tuple[Caution, ...]:
    """As things stand: what is, or will be, out of the fridge longer than its limit before it is in the oven.

    Baking does not make it good again: dough that went in too late stays named, with all the time it had.
    """
    found = [p for p in perishing_now(plan, retimed, state, now) if p.out.over and (p.out_at <= now or p.had_s > 0)]
    loads = [one.status for step, one in zip(plan.steps, retimed.steps, strict=True) if step.kind == "load"]
    if "open" not in loads:
        found = [replace(p, had_s=p.out.seconds) for p in found if is_eaten(p)]
    return _said_of(found, now, "")


def is_for_the_bin(plan: Plan, retimed: Retimed, state: State, now: int) -> bool:
    """Whether the dough, or what lies on a topped tray, had more time out of the fridge than is safe; of several
    loads that are in the oven one after the other each is told by itself."""
    return any(one.out in ("spent", "tray-spent") and (not one.names or one.out == "tray-spent") and not one.load
               for one in out_too_long(plan, retimed, state, now))  # fmt: skip


def _said_of(found: Iterable[Perishing], now: int | None, step_id: str) -> tuple[Caution, ...]:
    """One caution for all that are out equally long."""
    together: dict[tuple[OutOfFridge, int, int, bool, int], list[Perishing]] = {}
    for one in found:
        together.setdefault((*_out(one, now), one.key == DOUGH, one.load), []).append(one)
    return tuple(
        Caution(
            f"out-{alike[0].key}", step_id, () if dough else tuple(p.name for p in alike), out, out_s, limit_s, load
        )
        for (out, out_s, limit_s, dough, load), alike in together.items()
    )


def _out(p: Perishing, now: int | None) -> tuple[OutOfFridge, int, int]:
    """Within its limit, over it or past it already; seconds out to the minute, and the limit."""
    if now is not None and p.had_s > p.out.limit_s:
        return "tray-spent" if p.on_tray else "spent", _minutes(p.had_s), p.out.limit_s
    over: OutOfFridge = "tray" if p.on_tray else "over"
    return over if p.out.over else "within", _minutes(p.out.seconds), p.out.limit_s


def _minutes(seconds: int) -> int:
    return (seconds + 30) // 60 * 60


def _on_top(plan: Plan, risk: ToppingRisk, when: ToppingWhen) -> bool:
    """Is there such a thing among what goes on before loading, which is baked, or after baking, which is not?"""
    return any(topping.risk == risk and topping.when == when for topping in plan.toppings)


BARE_TOPS = ("brine", "oil", "rosemary")  # bread with no more on it keeps as bread does


def is_bare(plan: Plan) -> bool:
    """Does nothing lie on it that would spoil?"""
    return all(topping.key in BARE_TOPS for topping in plan.toppings)


CONDITIONS: dict[CautionWhen, Callable[[Plan], bool]] = {
    "always": lambda _: True,
    "slab": lambda plan: plan.oven.has_slab,
    "no-slab": lambda plan: not plan.oven.has_slab,
    "oil": lambda plan: any(line.kind == "fat" for line in plan.lines),
    "rich": lambda plan: plan.dough_perishes,  # butter alone is milk to who must not eat it, and stands as oil does
    "perishable": lambda plan: any(t.perishable for t in plan.toppings),
    "after": lambda plan: any(t.perishable and t.when == "after" for t in plan.toppings),
    "rim": lambda plan: any(t.key == "rim" for t in plan.toppings),
    "loads": lambda plan: plan.oven.loads > 1,
    "raw-egg": lambda plan: _on_top(plan, "raw-egg", "before"),
    "raw-meat": lambda plan: _on_top(plan, "raw-meat", "before"),
    "raw-egg-after": lambda plan: _on_top(plan, "raw-egg", "after"),
    "raw-meat-after": lambda plan: _on_top(plan, "raw-meat", "after"),
    "avoid": lambda plan: any(topping.risk == "avoid" for topping in plan.toppings),
    "topped": lambda plan: not is_bare(plan),
    "bare": is_bare,
}


def for_plan(plan: Plan, rules: Iterable[CautionRule]) -> tuple[Caution, ...]:
    """All cautions of a plan, in the order of its steps, those of the whole bake first.

    `plan` as assembled, its own `cautions` ignored; its allergens are said where it is served. A rule for steps that
    the plan has none of is left out.
    """
    said = [c for rule in rules if CONDITIONS[rule.when](plan) for c in _placed(plan, rule)]
    said.extend(perishable_cautions(plan))
    if plan.allergens or plan.allergens_unsaid:
        at = next((step.step_id for step in plan.steps if step.kind == "serve"), "")
        said.append(Caution("allergens", at))
    order = {step.step_id: i for i, step in enumerate(plan.steps)}
    return tuple(sorted(said, key=lambda c: order.get(c.step_id, -1)))


def _placed(plan: Plan, rule: CautionRule) -> list[Caution]:
    if not rule.steps:
        return [Caution(rule.key)]
    at = [step.step_id for step in plan.steps if step.kind in rule.steps]
    return [Caution(rule.key, at[-1 if rule.last else 0])] if at else []


@dataclass(frozen=True)
class LongBench:
    """A dough with milk, egg, cheese or garlic in oil would be out of the fridge longer than it may."""

    bench_s: int
    limit_s: int
    hot: bool  # the limit is that of a hot kitchen
    cold: bool  # it goes the cold way already


def long_bench(cold_only: bool, bench_s: int, room_c: float, cold: bool = False) -> LongBench | None:
    """Whether a dough with milk, egg, cheese or garlic in oil would be left on the bench too long; None when not.

    `bench_s` all seconds between mixing and oven that it is not in the fridge, at a room of `room_c` at its warmest;
    `cold` says that it goes the cold way already.
    """
    limit = HOT_LIMIT_S if room_c > HOT_ROOM_C else OUT_LIMIT_S
    if not cold_only or bench_s <= limit:
        return None
    return LongBench(bench_s, limit, limit == HOT_LIMIT_S, cold)
