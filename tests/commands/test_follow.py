"""`suppertide follow`: what the phone would say, one case or many, and how it complains."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tests.core.now.saying import done, hour, said, steady_plan
from tests.samples import sample_plan
from webapp.__main__ import main
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.records import bundle, to_plain

PLAN = steady_plan(0.15)
EVENTS = [done("mix", 7.5), said("glass", 16.5, times=2.0)]
NOW = hour(16.6)


def run(tmp_path: Path, data: object, *more: str) -> Any:
    file = tmp_path / "bundle.json"
    file.write_text(json.dumps(data))
    return CliRunner().invoke(main, ["follow", str(file), *more])


def answer(tmp_path: Path, data: object, *more: str) -> Any:
    result = run(tmp_path, data, "--json", *more)
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def problem(tmp_path: Path, data: object, *more: str) -> str:
    result = run(tmp_path, data, "--json", *more)
    assert (result.exit_code, result.stdout) == (2, "")
    return str(json.loads(result.stderr)["errors"][0]["field"])


def packed(plan: Plan = PLAN, events: list[Event] = EVENTS) -> dict[str, Any]:
    return bundle(plan, events, NOW)


def test_it_says_what_the_phone_would_say(tmp_path: Path) -> None:
    found = answer(tmp_path, packed(), "--at", str(NOW))
    state = fold(PLAN, EVENTS)
    here = retime(PLAN, state, NOW)
    assert found["estimate"]["ln_mean"] == here.ln_mean
    assert found["estimate"]["high_times"] == pytest.approx(math.exp(here.ln_mean + 1.2815515655 * here.ln_sd))
    assert found["now"]["progress"] == here.progress
    assert [one["start_at"] for one in found["steps"]] == [one.start for one in here.steps]
    assert [one["step_id"] for one in found["marks"]] == ["press", "load"]
    assert [(one["kind"], one["loss"]) for one in found["ways"]] == [(w.kind, w.loss) for w in ways(PLAN, state, NOW)]


def test_a_way_is_taken_by_handing_its_event_back(tmp_path: Path) -> None:
    first = answer(tmp_path, packed(), "--at", str(NOW))
    way = next(one for one in first["ways"] if one["kind"] != "as-planned")
    events = [*({"kind": e.kind, "at": e.at, "data": e.data} for e in EVENTS), {**way["event"], "at": NOW}]
    journal = tmp_path / "journal.json"
    journal.write_text(json.dumps(events))
    then = answer(tmp_path, to_plain(PLAN), "--journal", str(journal), "--at", str(NOW))
    load = next(one for one in then["steps"] if one["step_id"] == "load")
    assert (then["now"]["way"], load["start_at"], then["now"]["supper_at"]) == (
        way["kind"], way["load_at"], way["supper_at"])  # fmt: skip


def test_many_cases_are_answered_in_their_order(tmp_path: Path) -> None:
    quick, slow = packed(), packed(sample_plan(), [])
    cases = [{"bundle": quick, "at": NOW}, {"bundle": slow, "journal": {"events": []}, "at": "2026-11-25T12:00"}]
    one, other = answer(tmp_path, cases)
    assert (one["at"], other["at"]) == (NOW, hour(12))
    assert other["ways"] == [], "not mixed yet"


def test_as_lines_it_is_readable(tmp_path: Path) -> None:
    result = run(tmp_path, packed(), "--at", str(NOW))
    assert result.exit_code == 0
    assert "as-planned" in result.stdout


def test_what_is_wrong_is_named(tmp_path: Path) -> None:
    assert problem(tmp_path, packed()) == "at"
    assert problem(tmp_path, {"plan": {}}, "--at", "1") == "plan.bake_id"
    assert problem(tmp_path, packed(), "--at", "teatime") == "at"
    assert problem(tmp_path, [3], "--at", "1") == "cases.0"
    assert problem(tmp_path, [{"bundle": packed(), "journal": 3}], "--at", "1") == "cases.0.journal"
    assert problem(tmp_path, {**packed(), "events": [{"kind": "done"}]}, "--at", "1") == "journal.0.at"
    assert problem(tmp_path, {**packed(), "events": [{"at": NOW}]}, "--at", "1") == "journal.0.kind"
