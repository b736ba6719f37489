"""Facts in the plan, words at the edge: what is stored says nothing, what is shown says everything, once."""

from __future__ import annotations

import ast
import re
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from tests.samples import sample_plan
from tests.words.fresh import KITCHEN, SURE, TRAY, fresh_plan
from webapp.core.kitchen import DayHours, Kitchen, Oven, Person
from webapp.core.plan.plan import Habit, Plan
from webapp.core.plan.steps import OtherPan
from webapp.records import from_plain, to_plain
from webapp.words.kinds.dough import yeast_name
from webapp.words.spoken import bake_title, spoken

CORE = Path(__file__).parents[2] / "webapp" / "core"
SHOWN = {
    "Plan": ("title", "yeast_dosing", "yeast_why", "notes", "water_why"),
    "PlanStep": ("title", "text", "beside", "first", "needs", "other_pan"),
    "WeighLine": ("note", "other_pan"), "Topping": ("note",), "Rise": ("outside_range",),
    "Trade": ("sentence", "why_not"),
    "OvenPlan": ("dial", "shelf", "slab", "why"), "OvenAction": ("dial", "shelf", "text"),
    "Caution": ("text", "source"), "Busy": ("word",),
}  # fmt: skip
PARTY = replace(TRAY, count=3)
AMERICAN = Kitchen(
    zone="America/New_York", mass_unit="oz", heat_unit="F", mixing="mixer", scale_step_g=1.417, tap_c=25.0,
    oven=Oven(dial_unit="F", slab="stone", slab_mm=15.0, function="fan"), people=(Person("Me", (DayHours(),) * 7),),
    habits=(Habit("note", 0.0, "Press it out gently.", "b", "press"), Habit("preheat_min", 10.0, "Heat it longer.")),
)  # fmt: skip


def records(value: Any) -> list[Any]:
    """A record and every record inside it."""
    if isinstance(value, tuple):
        return [one for inner in value for one in records(inner)]
    if not is_dataclass(value):
        return []
    return [value, *(one for field in fields(value) for one in records(getattr(value, field.name)))]


@pytest.mark.parametrize("plan", [fresh_plan(), fresh_plan("poolish-tray", (PARTY,), AMERICAN)])
def test_a_planned_plan_holds_no_words(plan: Plan) -> None:
    for one in records(plan):
        for name in SHOWN.get(type(one).__name__, ()):
            assert not getattr(one, name), f"{type(one).__name__}.{name}"


@pytest.mark.parametrize("plan", [fresh_plan(), fresh_plan("poolish-tray", (PARTY,), AMERICAN)])
def test_a_shown_plan_is_the_same_plan_with_words(plan: Plan) -> None:
    shown = spoken(plan)
    assert all(step.title and step.text and step.beside for step in shown.steps)
    assert shown.title == bake_title(plan)
    assert shown.trade.sentence.endswith(".")
    assert all(caution.text.endswith(".") and caution.source for caution in shown.cautions)
    assert all("{" not in step.text for step in shown.steps)
    blank = to_plain(shown)
    for one in records(shown):
        assert all(
            isinstance(getattr(one, name), str | tuple | OtherPan | None) for name in SHOWN.get(type(one).__name__, ())
        )
    assert spoken(from_plain(Plan, blank)) == shown, "showing it twice says nothing twice"


SLOT = re.compile(r"\{(all|spoons|pan|(?:g|fine):[\d.e-]+)\}")


@pytest.mark.parametrize("plan", [fresh_plan(), fresh_plan("poolish-tray", (PARTY,), AMERICAN)])
def test_what_another_pan_changes_stands_as_slots_beside_the_same_words(plan: Plan) -> None:
    """No amount is left as it is for the planned pan, and no pan is named; all that stands in braces can be filled."""
    shown = spoken(plan)
    steps = [(step, step.other_pan) for step in shown.steps if step.other_pan]
    assert {step.kind for step, _ in steps} >= {"press", "top", "serve"}
    said = [text for _, one in steps for text in (one.text, one.beside, one.first)]
    said += [line.other_pan for line in shown.lines]
    for text in said:
        left = SLOT.sub("", text)
        assert "{" not in left
        assert all(pan.name not in left for pan in plan.pans)
    for step, one in steps:
        assert re.search(r"\d (g|oz)\b", SLOT.sub("", one.text)) is None, step.kind
        assert SLOT.search(one.text) or step.kind == "serve"


def test_a_plan_names_neither_its_yeast_nor_the_water_of_it_until_it_is_shown() -> None:
    plan = fresh_plan("poolish-tray", kitchen=replace(KITCHEN, micro_step_g=0.0))
    every = ((plan.yeast_kind, plan.lines), *((one.kind, one.lines) for one in plan.other_yeasts))
    assert any(line.key == "yeast-water" for _, lines in every for line in lines), "weighed in water"
    for _, lines in every:
        assert {line.name for line in lines if line.kind == "yeast" or line.key == "yeast-water"} == {""}
        assert all(line.name for line in lines if line.kind != "yeast" and line.key != "yeast-water")
    shown = spoken(plan)
    every = ((shown.yeast_kind, shown.lines), *((one.kind, one.lines) for one in shown.other_yeasts))
    for kind, lines in every:
        assert {line.name for line in lines if line.kind == "yeast"} == {yeast_name(kind)}
        assert {line.name for line in lines if line.key == "yeast-water"} <= {"Water that comes with the yeast"}


def test_words_follow_the_facts_and_not_what_was_said_before() -> None:
    plan = fresh_plan()
    stale = replace(plan, steps=tuple(replace(step, text="Old words.") for step in plan.steps))
    assert spoken(stale) == spoken(plan)


def test_a_title_is_its_dough_and_its_day() -> None:
    assert bake_title(fresh_plan()) == f"{fresh_plan().formula_name} for Thursday"  # 2026-11-26 was a Thursday
    assert bake_title(sample_plan()) == "Tray pizza for Wednesday"  # as it was stored


def test_each_step_of_a_load_is_numbered_and_speaks_of_its_own_trays() -> None:
    shown = spoken(fresh_plan("bench-tray", (PARTY,), replace(KITCHEN, people=AMERICAN.people)))
    loads = [step for step in shown.steps if step.kind == "load"]
    assert [step.load for step in loads] == [1, 2, 3]
    assert [step.title for step in loads] == [f"Into the oven to bake (load {n} of 3)" for n in (1, 2, 3)]
    lifts = [step.text for step in shown.steps if step.kind == "lift"]
    assert ["Turn the oven off." in text for text in lifts] == [False, False, True]


def test_beside_a_list_neither_its_amounts_nor_its_dosing_are_said_again() -> None:
    shown = spoken(fresh_plan())
    mix = next(step for step in shown.steps if step.kind == "mix")
    assert mix.beside.startswith("Water at")
    assert SURE.search(mix.text)
    assert not SURE.search(mix.beside)
    assert "Strong" not in mix.beside.title()
    press = next(step for step in shown.steps if step.kind == "press")
    assert press.beside == press.text


@pytest.mark.parametrize(
    ("kind", "key", "said"),
    [("preheat", "never-alone", "Somebody stays at home from now until it is off."),
     ("serve", "leftovers", "Leftovers into the fridge within two hours.")],
)  # fmt: skip
def test_beside_its_caution_a_step_does_not_say_it_again(kind: str, key: str, said: str) -> None:
    """A calendar and paper have the text alone; a page has the caution in full below it."""
    shown = spoken(fresh_plan())
    step = next(one for one in shown.steps if one.kind == kind)
    assert said in step.text
    assert said not in step.beside
    assert [one.step_id for one in shown.cautions if one.key == key] == [step.step_id]


def test_bread_with_nothing_on_it_is_wrapped_and_not_chilled() -> None:
    """Bread goes stale soonest in the fridge (common practice)."""
    serve = next(step for step in spoken(replace(fresh_plan(), toppings=())).steps if step.kind == "serve")
    assert "Wrap what is left once it is cool." in serve.text
    assert "fridge" not in serve.text


def test_what_past_bakes_noted_is_said_at_its_step() -> None:
    shown = spoken(fresh_plan("bench-tray", (TRAY,), AMERICAN))
    press = next(step for step in shown.steps if step.kind == "press")
    assert press.text.endswith("From past bakes: Press it out gently.")
    assert shown.notes == ("Press it out gently.", "Heat it longer. (now +10 min)")


def test_units_are_those_the_plan_was_made_in() -> None:
    shown = spoken(fresh_plan("bench-tray", (TRAY,), AMERICAN))
    mix = next(step for step in shown.steps if step.kind == "mix")
    assert " oz " in mix.text
    assert "°F" in mix.text
    assert "°C" not in mix.text
    assert "°F" in shown.oven.dial
    assert " g " in next(step for step in spoken(fresh_plan(kitchen=KITCHEN)).steps if step.kind == "mix").text


# --- no prose below words/ ---------------------------------------------------------------------------------------

# Callables whose arguments may be sentences: errors that answer what a person typed, and tables that explain the code.
ANSWERS = {"PlanError", "at", "Problem", "Weight", "AssertionError"}


def _prose(text: str) -> bool:
    """Does it read as a sentence: several words, a capital at its beginning, a full stop at its end?"""
    words = text.split()
    return len(words) > 2 and text[:1].isupper() and text.rstrip().endswith((".", "!", "?"))


def _sentences(path: Path) -> list[str]:
    """String literals of a module that read as sentences, docstrings and answers to input left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    excused: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in ANSWERS:
            excused |= {id(inner) for inner in ast.walk(node)}
        if isinstance(node, ast.Assert) and node.msg is not None:
            excused |= {id(inner) for inner in ast.walk(node.msg)}
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node, clean=False):
            excused.add(id(node.body[0].value))  # type: ignore[attr-defined]
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr) and id(node) not in excused:
            excused |= {id(inner) for inner in ast.walk(node) if inner is not node}
            parts = (one.value if isinstance(one, ast.Constant) else "N" for one in node.values)
            if _prose("".join(map(str, parts))):
                found.append(f"{path.name}:{node.lineno}")
        elif isinstance(node, ast.Constant) and id(node) not in excused and _prose(str(node.value)):
            found.append(f"{path.name}:{node.lineno} {str(node.value)[:50]}")
    return found


# Sentences that stay, each with its reason.
EXCEPTIONS = {
    "check.py",  # formula/check.py: answers to a typed formula, collected before they are raised
    "method.py",  # formula/method.py: the same for a typed method
    "hours.py",  # day/hours.py: the same for a typed week
    "formula.py",  # formula/formula.py: the way out of a formula that cannot be read
    "ingredients.py",  # formula/ingredients.py: the way out of a yeast that is none
}


def test_the_core_builds_no_sentences() -> None:
    found = [one for path in sorted(CORE.rglob("*.py")) for one in _sentences(path)]
    assert [one for one in found if one.split(":")[0] not in EXCEPTIONS] == []


def test_the_search_for_sentences_finds_one(tmp_path: Path) -> None:
    said = tmp_path / "offers.py"
    said.write_text('"""A docstring. It may speak."""\nx = f"The dough is at {1} degrees."\ny = "Eat an hour later."\n')
    assert [one.split(" ")[0] for one in _sentences(said)] == ["offers.py:2", "offers.py:3"]


SHOWN_NAMES = "text|title|note|message|sentence|why|beside|first|yeast_dosing"
READS = r"split|partition|replace|removeprefix|removesuffix|startswith|endswith|find|index|lower\(\)\.\w+"
SOUGHT_IN_PYTHON = (
    rf"\.({SHOWN_NAMES})\.({READS})\(",
    rf'" (not )?in \w+\.({SHOWN_NAMES})\b',
    r"_words\([^)]*\)\.split",
)
SOUGHT_IN_SCRIPTS = rf"\.({SHOWN_NAMES})\.(split|replace|match|includes|indexOf|search|startsWith|endsWith)\("
SOUGHT_IN_PAGES = rf"""\.({SHOWN_NAMES})\|(replace|join)|["'] (not )?in \w+\.({SHOWN_NAMES})\b"""
READ_BACK = (("*.py", "|".join(SOUGHT_IN_PYTHON)), ("*.js", SOUGHT_IN_SCRIPTS), ("*.html", SOUGHT_IN_PAGES))
# Who may, and why.
MAY_READ = {
    "stored_plans.py": "a plan stored before there were facts has its sentences alone, each on a line of its own",
}


@pytest.mark.parametrize("folder", ["webapp", "templates", "static/js"])
def test_nothing_reads_a_sentence_back(folder: str) -> None:
    """No pattern on a title, no word sought in a step's text or a message: facts have fields of their own."""
    root = CORE.parents[1] / folder
    read = [
        f"{path.name}: {found.group(0)}"
        for pattern, sought in READ_BACK
        for path in sorted(root.rglob(pattern))
        for found in re.finditer(sought, path.read_text(encoding="utf-8"))
        if path.name not in MAY_READ
    ]
    assert read == []
