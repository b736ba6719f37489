"""What is wrong, in words: every kind has its sentences, and every place that finds it hands over what they take."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from string import Formatter
from types import ModuleType
from typing import get_args

import pytest

from webapp.core.errors import PlanError, Problem
from webapp.core.formula import check, method
from webapp.core.formula.ingredients import Formula
from webapp.core.formula.method import MethodStep
from webapp.core.kinds import ProblemKind
from webapp.core.kitchen import Kitchen
from webapp.core.learning import sample_glass
from webapp.core.oven import dial
from webapp.data.doughs import formulas
from webapp.words.problems.told import SENTENCES, in_words, one_line, refused, told

WEBAPP = Path(__file__).parents[3] / "webapp"
PURE = [*(WEBAPP / "core").rglob("*.py"), *(WEBAPP / "data").rglob("*.py"), WEBAPP / "records.py"]
# Figures that stand for others: which step it is, in words.
MADE_OF = {"where": "number"}
NAMED = {"where": {"number", "step"}}  # a mapping by its name in the source


def _keys(node: ast.expr | None) -> set[str]:
    """The names of the figures in a mapping as it is written."""
    if node is None:
        return set()
    if isinstance(node, ast.Name):
        return NAMED[node.id]
    assert isinstance(node, ast.Dict), ast.dump(node)
    pairs = zip(node.keys, node.values, strict=True)
    return set().union(*({str(key.value)} if isinstance(key, ast.Constant) else _keys(value) for key, value in pairs))


def _kinds(node: ast.expr) -> list[str]:
    known = [one.value for one in ast.walk(node) if isinstance(one, ast.Constant) and one.value in SENTENCES]
    return [str(one) for one in known] or ["much-salt", "much-sugar", "much-fat"]  # the one place with a table of them


def found() -> Iterator[tuple[str, str, set[str]]]:
    """(place, kind, names of its figures) wherever pure code says that something is wrong."""
    for path in PURE:
        if path.name == "errors.py":
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = ast.unparse(node.func)
            if name == "Problem":
                keys = _keys(node.args[2] if len(node.args) > 2 else None)
            elif name == "PlanError.at":
                keys = {str(one.arg) for one in node.keywords}
            else:
                continue
            for kind in _kinds(node.args[1]):
                yield f"{path.name}:{node.lineno}", kind, keys


PLACES = list(found())


@pytest.mark.parametrize(("place", "kind", "keys"), PLACES)
def test_a_place_that_finds_a_problem_hands_over_what_its_sentences_take(place: str, kind: str, keys: set[str]) -> None:
    for text in SENTENCES[kind]:  # type: ignore[index]  # a kind: `_kinds` looked for it among them
        taken = {MADE_OF.get(name, name) for _, name, _, _ in Formatter().parse(text) if name}
        assert taken <= keys, place


def test_every_kind_with_a_sentence_is_found_somewhere() -> None:
    assert {kind for _, kind, _ in PLACES} == set(SENTENCES)
    assert set(get_args(ProblemKind)) - set(SENTENCES) == {"told", "refused"}


@pytest.mark.parametrize("kind", SENTENCES)
def test_every_problem_is_one_sentence_and_has_a_way_out(kind: ProblemKind) -> None:
    message, way_out = SENTENCES[kind]
    assert message.endswith(".")
    assert way_out.endswith(".")


# Worked by hand: the sentence as a person reads it, for each way in which a figure is put into words.
SAID: list[tuple[Problem, str]] = [
    (
        Problem("supper", "skipped", {"clock": "02:30", "date": "2027-03-28", "earlier": "01:30", "later": "03:30"}),
        "02:30 does not exist on 28 March 2027: the clocks jump over it that night. Choose 01:30 or 03:30.",
    ),
    (
        Problem("supper", "twice", {"clock": "02:30", "date": "2026-10-25", "first": "CEST", "second": "CET"}),
        "02:30 comes twice on 25 October 2026: the clocks go back that night. "
        "Say which: the first (CEST) or the second (CET).",
    ),
    (
        Problem("away", "home-before-leaving", {"whose": "Ann", "home_min": 480, "leaving_min": -5}),
        "Ann: home at 08:00 is not after leaving at minute -5. "
        "Give the hour of coming home after that of leaving (past midnight counts on: 25:00).",
    ),
    (Problem("away", "no-date", {"typed": "25 November"}), "“25 November” is not a date. Write it like 2030-01-31."),
    (
        Problem("steps.2.place", "step-place", {"number": 2, "step": "press", "place": "cellar"}),
        "step 2 (press): the dough cannot go to “cellar”. Leave the place out.",
    ),
    (
        Problem("steps", "step-value", {"number": 1, "name": "hands_min", "wanted": "int"}),
        "step 1: hands_min should be a whole number. Correct it.",
    ),
    (
        Problem("flour", "flour-sum", {"percent": 90.0}),
        "The flours come to 90 %, not 100. All flours together are 100 %: put the difference into one of them.",
    ),
    (
        Problem("preferment", "preferment-takes",
                {"name": "Poolish", "percent": 100 / 3, "what": "flour", "there_percent": 0.0}),
        "Poolish takes 33.33 % flour, but the formula has 0 %. "
        "A preferment takes its part out of the formula: make it smaller.",
    ),
    (
        Problem("yeast_kind", "no-yeast-kind", {"typed": "sour"}),
        "“sour” is not a kind of yeast known here. Choose instant, active-dry or fresh.",
    ),
    (
        Problem("style", "no-style", {"typed": "calzone"}),
        "“calzone” is not a style of baking. Choose one of thin, round, pan, tray, focaccia.",
    ),
    (
        Problem("pan", "no-shape", {"typed": "star"}),
        "“star” is not a shape known here. Choose one of rectangle, round, oval, measured.",
    ),
    (
        Problem("t", "apart", {"apart_c": 100.0}),
        "The thermometer is 100 °C away from the dial. "
        "Check the units, wait until the oven has been hot for 20 minutes, and read again.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("problem", "sentence"), SAID)
def test_a_problem_is_said_with_its_figures(problem: Problem, sentence: str) -> None:
    assert one_line(PlanError(problem)) == sentence
    assert in_words(problem).field == problem.field


def _formula(loading: float = 0.0, wanted_dough_c: float = 24.0, **percents: float) -> Formula:
    """A shipped one with other amounts by kind of ingredient."""
    first = formulas()[0]
    lines = tuple(replace(one, percent=percents.get(one.kind, one.percent)) for one in first.ingredients)
    return replace(first, ingredients=lines, loading=loading or first.loading, wanted_dough_c=wanted_dough_c)


def _wrong(formula: Formula, kind: str) -> Problem:
    return next(one for one in check.problems_of(formula) if one.kind == kind)


def _refused_dial() -> Problem:
    with pytest.raises(PlanError) as refusal:
        dial.read_dial("dial", "9000", "C")
    return refusal.value.problems[0]


def _refused_glass() -> Problem:
    with pytest.raises(PlanError) as refusal:
        sample_glass.recipe_for(Kitchen(), 99.0)
    return refusal.value.problems[0]


def _long_press() -> Problem:
    steps = (MethodStep("mix"), MethodStep("press", 9000, 60, 90, 120), MethodStep("load"))
    return method.problems_of(method.Method("ours", "Ours", steps))[0]


# Module, constant, another value of it, what is then wrong, and a part of what is said.
LIMITS: list[tuple[ModuleType, str, object, Callable[[], Problem], str]] = [
    (check, "_MOST_WATER", 111.0, lambda: _wrong(_formula(water=150), "batter"), "Stay between 35 and 111 %."),
    (check, "_LEAST_WATER", 44.5, lambda: _wrong(_formula(water=20), "crumbs"), "Stay between 44.5 and 130 %."),
    (check, "_MOST_SALT", 3.9, lambda: _wrong(_formula(salt=9), "much-salt"), "past 3.9 % yeast"),
    (check, "_MOST_LOADING", 2.5, lambda: _wrong(_formula(loading=5.0), "loading-order"), "0.05 to 2.5 g on each cm²"),
    (check, "_WARMEST_DOUGH_C", 33.0, lambda: _wrong(_formula(wanted_dough_c=80), "dough-warmth"), "5 and 33 °C"),
    (method, "MOST_HANDS_MIN", 95, _long_press, "Hands-on up to 95 minutes."),
    (dial, "DIAL_RANGE_C", (120.0, 500.0), _refused_dial, "Between 120 and 500 °C, 248 and 932 °F."),
    (sample_glass, "WARMEST_C", 31.0, _refused_glass, "Between 10 and 31 °C"),
]


@pytest.mark.parametrize(("module", "name", "value", "wrong", "said"), LIMITS, ids=lambda one: str(one)[:20])
def test_a_limit_that_is_changed_is_said_as_it_is_then(
    monkeypatch: pytest.MonkeyPatch,
    module: ModuleType,
    name: str,
    value: object,
    wrong: Callable[[], Problem],
    said: str,
) -> None:
    monkeypatch.setattr(module, name, value)
    assert said in one_line(PlanError(wrong()))


def test_what_an_edge_says_in_its_own_words_stays_as_it_was_said() -> None:
    error = refused("word", "Nothing was deleted.", "Type the word “delete” to do it.")
    assert one_line(error) == "Nothing was deleted. Type the word “delete” to do it."
    assert str(error) == "word: Nothing was deleted. Type the word “delete” to do it."


def test_a_form_puts_a_problem_at_a_field_of_its_own() -> None:
    assert in_words(Problem("flour", "no-flour"), "0-amount").field == "0-amount"
    moved = in_words(told("at", "That is still to come.", kind="twice"), "time")
    assert (moved.field, moved.message, moved.kind) == ("time", "That is still to come.", "twice")
