"""What a long page folds, worked out by hand on the sample day."""

from __future__ import annotations

from dataclasses import replace

from tests.samples import at, sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.words.plan.gathered import bowls, runs
from webapp.words.plan.steps import Row


def stands(plan: Plan, *done: str) -> Retimed:
    lines = [Event(one, plan.bake_id, at(12), at(12), "phone", "done", {"step_id": one}) for one in done]
    return retime(plan, fold(plan, lines), at(12))


def rows(*told: tuple[str, int]) -> list[Row]:
    """Steps of these kinds and loads, in that order."""
    plan = sample_plan()
    timed = stands(plan).steps[0]
    return [(replace(plan.steps[0], kind=kind, load=load), timed, 0) for kind, load in told]  # type: ignore[arg-type]


def kinds(*told: tuple[str, int]) -> list[tuple[str, list[str]]]:
    return [(name, [step.kind for step, _, _ in run]) for name, run in runs(rows(*told))]


def test_what_the_oven_does_is_one_run() -> None:
    assert kinds(("mix", 0), ("top", 0), ("load", 0), ("turn", 0), ("lift", 0), ("serve", 0)) == [
        ("", ["mix", "top"]), ("oven", ["load", "turn", "lift"]), ("", ["serve"]),
    ]  # fmt: skip


def test_pressing_load_by_load_is_one_run_and_what_is_done_meanwhile_comes_after_it() -> None:
    assert kinds(("press", 1), ("press", 2), ("sauce", 0), ("relax", 2), ("top", 1), ("lift", 1), ("top", 2)) == [
        ("press", ["press", "press", "relax"]), ("", ["sauce"]), ("load 1", ["top", "lift"]), ("load 2", ["top"]),
    ]  # fmt: skip


def test_one_tray_is_pressed_in_no_run() -> None:
    assert kinds(("press", 0), ("relax", 0)) == [("", ["press", "relax"])]


def test_only_the_bowl_of_the_next_mixing_is_next() -> None:
    plain = sample_plan()
    assert [(one.part, one.begun, one.next) for one in bowls(plain, stands(plain))] == [("dough", False, True)]
    mixed = bowls(plain, stands(plain, "mix"))
    assert [(one.part, one.begun, one.next) for one in mixed] == [("dough", True, False)]


def test_what_is_made_ahead_comes_first_and_the_dough_is_next_once_it_is_made() -> None:
    plain = sample_plan()
    ahead = replace(plain.steps[0], step_id="ahead", kind="preferment", start=at(6), end=at(6, 10))
    line = replace(plain.lines[0], part="poolish")
    plan = replace(plain, steps=(ahead, *plain.steps), lines=(*plain.lines, line))
    told = [(one.part, one.begun, one.next) for one in bowls(plan, stands(plan))]
    assert told == [("poolish", False, True), ("dough", False, False)]
    told = [(one.part, one.begun, one.next) for one in bowls(plan, stands(plan, "ahead"))]
    assert told == [("poolish", True, False), ("dough", False, True)]
