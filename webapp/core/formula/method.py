"""The steps of a method and their ranges. Methods are data: tables/methods.toml, or a person's own.

A method is a chain. Some steps move the dough (into the fridge, into the tray, into the oven) and so change how it
rises; their wait counts from the end of the step that moved it last. The others (fold, round up, rest) are passing:
their wait counts from the end of the step just before, and the optional ones may be left out when the day has no
room for them. Topping, the bake programme and serving follow from the loading and are not written down here.

Minutes throughout. The planner works on a grid of five minutes, so hands-on minutes of steps that move the dough are
multiples of five.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Literal

from webapp.core.errors import Figures, PlanError, Problem
from webapp.core.kinds import MIXING_KINDS, RESTING_PLACES, STAGE_KINDS, ChainKind, RestingPlace
from webapp.core.kitchen import MOST_ALARM_MIN
from webapp.core.plan.steps import GRID_S

GRID_MIN = GRID_S // 60
WAKE_MIN = 10  # dry yeast foams in warm water within so long (common practice)
MOST_WAIT_MIN = 7 * 24 * 60
MOST_STEPS = 12
MOST_HANDS_MIN = 180  # of one step
# Choices of waits around the longest one, on the grid of five minutes: more would keep the planner busy for minutes.
MOST_MIXING, MOST_BEFORE, MOST_AFTER = 160, 25, 6000
PRESSED_LEAST = 60  # percent: with less than that behind it a dough has no strength to hold what it rises in the tray

# kind -> (moves the dough, place it goes to unless said otherwise, hands-on minutes unless said otherwise)
CHAIN_STEPS: dict[ChainKind, tuple[bool, RestingPlace | Literal["oven", ""], int]] = {
    "preferment": (True, "bench", 10),
    "mix": (True, "bench", 15),
    "rest": (False, "", 5),
    "fold": (False, "", 5),
    "round-up": (False, "", 10),
    "chill": (True, "fridge", 5),
    "warm": (True, "warm", 5),
    "warm-out": (True, "bench", 5),
    "temper": (True, "bench", 5),
    "press": (True, "bench", 10),
    "load": (True, "oven", 5),
}


@dataclass(frozen=True)
class MethodStep:
    """One step of the chain; waits in minutes before it begins."""

    kind: ChainKind
    hands_min: int = 0  # 0 = what the kind usually takes
    wait_least_min: int = 0
    wait_best_min: int = 0
    wait_most_min: int = 0
    place: RestingPlace | Literal[""] = ""  # where the dough is from its end on; "" = where the kind puts it
    optional: bool = False  # passing steps only
    alarm_min: int = 0
    note: str = ""

    @property
    def moves(self) -> bool:
        """Does this step change how the dough rises?"""
        return CHAIN_STEPS[self.kind][0]

    @property
    def goes_to(self) -> RestingPlace | Literal["oven", ""]:
        """Where the dough is from the end of this step on; "" = where it was."""
        return self.place or CHAIN_STEPS[self.kind][1]

    @property
    def hands(self) -> int:
        """Hands-on minutes."""
        return self.hands_min or CHAIN_STEPS[self.kind][2]


@dataclass(frozen=True)
class Method:
    """A chain from the first mixing to the loading of the oven."""

    key: str
    name: str
    steps: tuple[MethodStep, ...]
    note: str = ""
    source: str = ""  # "" for one that a kitchen wrote down
    through_night: bool = False  # the longest wait has a night in it, or the method is not what its name says
    pressed_percent: int = 100  # of the rise at which this dough is pressed out otherwise; the rest is left to the tray
    mixed_cool: bool = False  # with the tap's water as it comes; otherwise as warm as the formula says

    @property
    def has_preferment(self) -> bool:
        """Does it begin with a preferment?"""
        return self.steps[0].kind == "preferment"

    @property
    def uses(self) -> frozenset[str]:
        """Places the dough may stand in."""
        return frozenset(s.goes_to for s in self.steps if s.goes_to)

    @property
    def stays_cold(self) -> bool:
        """Is the dough out of the fridge for two hours at most, as dough with milk or egg must be?"""
        warm_min = 0
        place = "bench"
        for step in self.steps[:-1]:  # the last is the loading
            if place != "fridge" and step.kind not in MIXING_KINDS:
                warm_min += step.wait_least_min
            place = step.goes_to or place
        return "fridge" in self.uses and not self.has_preferment and warm_min <= 120


def method_from_dict(plain: Mapping[str, Any]) -> Method:
    """A method from plain values (TOML, JSON, a form). PlanError at "method" or "steps" naming every problem."""
    problems = [
        Problem("method", "not-of-a-method", {"name": key})
        for key in plain
        if key not in ("key", "name", "note", "source", "through_night", "pressed_percent", "mixed_cool", "step")
    ]
    rows = plain.get("step")
    steps: list[MethodStep] = []
    if not isinstance(rows, Sequence) or isinstance(rows, str) or not rows:
        problems.append(Problem("steps", "no-steps"))
    else:
        for number, row in enumerate(rows, 1):
            found = _step_from(row, number)
            if isinstance(found, MethodStep):
                steps.append(found)
            else:
                problems += found
    texts = {name: plain.get(name, "") for name in ("key", "name", "note", "source")}
    wrong = [name for name, value in texts.items() if not isinstance(value, str)]
    problems += [Problem("method", "no-text", {"name": name}) for name in wrong]
    for name in ("through_night", "mixed_cool"):
        if type(plain.get(name, False)) is not bool:
            problems.append(Problem("method", "no-yes-no", {"name": name}))
    pressed = plain.get("pressed_percent", 100)
    if type(pressed) is not int or not PRESSED_LEAST <= pressed <= 100:
        problems.append(Problem("pressed_percent", "pressed-percent", {"least": PRESSED_LEAST}))
    if problems:
        raise PlanError(*problems)
    made = (
        texts["note"], texts["source"], plain.get("through_night", False), pressed, plain.get("mixed_cool", False)
    )  # fmt: skip
    method = Method(texts["key"], texts["name"], tuple(steps), *made)
    found_wrong = problems_of(method)
    if found_wrong:
        raise PlanError(*found_wrong)
    return method


def method_to_dict(method: Method) -> dict[str, Any]:
    """The plain values `method_from_dict` reads back into an equal method; defaults are left out."""
    plain: dict[str, Any] = {"key": method.key, "name": method.name}
    if method.note:
        plain["note"] = method.note
    if method.source:
        plain["source"] = method.source
    if method.through_night:
        plain["through_night"] = True
    if method.pressed_percent != 100:
        plain["pressed_percent"] = method.pressed_percent
    if method.mixed_cool:
        plain["mixed_cool"] = True
    plain["step"] = [_step_to(step) for step in method.steps]
    return plain


def _step_to(step: MethodStep) -> dict[str, Any]:
    row: dict[str, Any] = {"kind": step.kind}
    waits = (step.wait_least_min, step.wait_best_min, step.wait_most_min)
    if any(waits):
        row["wait"] = list(waits)
    for name in ("hands_min", "place", "optional", "alarm_min", "note"):
        value = getattr(step, name)
        if value:
            row[name] = value
    return row


_STEP_TYPES = {f.name: f.type if f.type in ("int", "bool") else "str" for f in fields(MethodStep)}


def _step_from(row: Any, number: int) -> MethodStep | list[Problem]:
    if not isinstance(row, Mapping):
        return [Problem("steps", "step-no-table", {"number": number})]
    values = dict(row)
    wait = values.pop("wait", [0, 0, 0])
    problems = [
        Problem("steps", "not-of-a-step", {"number": number, "name": name})
        for name in values
        if name not in _STEP_TYPES or name.startswith("wait_")
    ]
    if not isinstance(wait, Sequence) or len(wait) != 3 or not all(_whole(w) for w in wait):
        problems.append(Problem("steps", "step-wait-numbers", {"number": number}))
        wait = [0, 0, 0]
    kinds: dict[str, Any] = {"str": str, "int": int, "bool": bool}
    problems += [
        Problem("steps", "step-value", {"number": number, "name": name, "wanted": str(_STEP_TYPES[name])})
        for name, value in values.items()
        if name in _STEP_TYPES and type(value) is not kinds[str(_STEP_TYPES[name])]
    ]
    if not isinstance(values.get("kind"), str) or values["kind"] not in CHAIN_STEPS:
        problems.append(Problem("steps", "step-kind", {"number": number, "typed": repr(values.get("kind"))}))
    if problems:
        return problems
    return MethodStep(wait_least_min=wait[0], wait_best_min=wait[1], wait_most_min=wait[2], **values)


def _whole(value: Any) -> bool:
    return type(value) is int


def problems_of(method: Method) -> tuple[Problem, ...]:
    """What keeps this from being a method; empty when it is one.

    Fields are "method", "steps", or a part of one step as in "steps.3.wait".
    """
    order = _order_problems(method)
    return (*_name_problems(method), *order, *(_range_problems(method) if not order else ()))


def _name_problems(method: Method) -> list[Problem]:
    problems = []
    if not re.fullmatch(r"[A-Za-z0-9_-]{1,64}", method.key):
        problems.append(Problem("method", "method-key", {"key": method.key}))
    if not method.name.strip():
        problems.append(Problem("method", "method-name"))
    return problems


def _order_problems(method: Method) -> list[Problem]:
    kinds = [s.kind for s in method.steps]
    problems = [
        Problem("steps", "step-times", {"step": kind, "times": kinds.count(kind)})
        for kind in STAGE_KINDS
        if kinds.count(kind) != 1
    ]
    if problems:
        return problems
    mix, press, load = (kinds.index(k) for k in STAGE_KINDS)
    if not mix < press < load == len(kinds) - 1:
        problems.append(Problem("steps", "steps-order"))
    if kinds[:mix] not in ([], ["preferment"]) or "preferment" in kinds[mix:]:
        problems.append(Problem("steps", "before-mixing"))
    if any(kind in ("rest", "fold", "round-up") for kind in kinds[press:]):
        problems.append(Problem("steps", "after-pressing"))
    if len(kinds) > MOST_STEPS:
        problems.append(Problem("steps", "many-steps", {"steps": len(kinds), "most": MOST_STEPS}))
    if sum(s.moves for s in method.steps) > 7:
        problems.append(Problem("steps", "many-moves"))
    return problems


def _range_problems(method: Method) -> list[Problem]:
    problems = []
    for number, step in enumerate(method.steps, 1):
        at = f"steps.{number}"
        where: Figures = {"number": number, "step": step.kind}
        if not 0 <= step.wait_least_min <= step.wait_best_min <= step.wait_most_min <= MOST_WAIT_MIN:
            problems.append(Problem(f"{at}.wait", "step-wait-order", where))
        if not 0 <= step.hands_min <= MOST_HANDS_MIN or not 0 <= step.alarm_min <= MOST_ALARM_MIN:
            problems.append(Problem(f"{at}.hands_min", "step-minutes", {**where, "most": MOST_HANDS_MIN}))
        if step.moves and step.hands % GRID_MIN:
            problems.append(Problem(f"{at}.hands_min", "step-fives", {**where, "minutes": step.hands}))
        if step.place and (not step.moves or step.place not in RESTING_PLACES or step.kind == "load"):
            problems.append(Problem(f"{at}.place", "step-place", {**where, "place": step.place}))
        if step.optional and step.moves:
            problems.append(Problem(f"{at}.optional", "step-optional", where))
        if step.moves and any(w % GRID_MIN for w in (step.wait_least_min, step.wait_best_min, step.wait_most_min)):
            problems.append(Problem(f"{at}.wait", "step-wait-fives", where))
    if method.steps[0].wait_most_min:
        problems.append(Problem("steps.1.wait", "first-wait"))
    return problems or _width_problems(method)


def _width_problems(method: Method) -> list[Problem]:
    """Only the longest wait may be as wide as it likes."""
    moves = [s for s in method.steps if s.moves]
    press = [s.kind for s in moves].index("press")
    longest = max(range(1, press + 1), key=lambda i: moves[i].wait_most_min)
    wide = [(s.wait_most_min - s.wait_least_min) // GRID_MIN + 1 for s in moves]
    before = dict(zip((s.kind for s in moves[:longest]), wide, strict=False))
    mixing = before.pop("mix", 1)
    after = math.prod(wide[longest + 1 :])
    if mixing > MOST_MIXING or math.prod(before.values()) > MOST_BEFORE or after > MOST_AFTER:
        return [Problem("steps", "wide-waits")]
    return []


def with_woken_yeast(method: Method) -> Method:
    """The method with dry yeast that foams in warm water before it goes in: whoever mixes first begins so much
    sooner."""
    first, *others = method.steps
    return replace(method, steps=(replace(first, hands_min=first.hands + WAKE_MIN), *others))
