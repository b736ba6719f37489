"""`suppertide learn`: one case or many, in order, and how it complains."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from webapp.__main__ import main
from webapp.commands import cases
from webapp.core.learning.observed import GLASS_SD

NOW = 1_795_564_800


def run(tmp_path: Path, data: object, *more: str) -> Any:
    file = tmp_path / "observations.json"
    file.write_text(data if isinstance(data, str) else json.dumps(data))
    return CliRunner().invoke(main, ["learn", str(file), *more])


def answer(tmp_path: Path, data: object, *more: str) -> Any:
    result = run(tmp_path, data, "--json", *more)
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def problem(tmp_path: Path, data: object, *more: str) -> dict[str, str]:
    result = run(tmp_path, data, "--json", *more)
    assert (result.exit_code, result.stdout) == (2, "")
    ((one,),) = json.loads(result.stderr).values()
    assert set(one) == {"field", "message", "way_out"}
    return dict(one)


def glass(bake: str, value: float = 2.0, unit: float = 1.0, at: object = NOW) -> dict[str, object]:
    return {"bake": bake, "at": at, "kind": "glass", "value": value, "unit_progress": unit}


def test_a_kitchen_of_which_nothing_is_known_is_the_prior(tmp_path: Path) -> None:
    # Kitchens apart by 0.33, bakes by 0.16: sqrt(0.33^2 + 0.16^2) = 0.366742; exp(1.281552 x 0.366742) = 1.6000.
    found = answer(tmp_path, [])
    assert (found["mean_ln"], found["sd_ln"], found["scatter_sd_ln"]) == (0, 0.366742, 0.16)
    assert found["high_times"] == pytest.approx(1.6000, abs=1e-4)
    assert found["low_times"] == pytest.approx(1 / 1.6000, abs=1e-4)
    assert (found["rate_times"], found["bakes"], found["left_out"]) == (1, 0, [])


def test_a_list_of_cases_is_answered_in_its_order_and_each_as_alone(tmp_path: Path) -> None:
    quick, slow = [glass("a", unit=0.5)], {"observations": [glass("a", unit=2.0)]}
    found = answer(tmp_path, [quick, slow, []])
    assert [one["mean_ln"] > 0 for one in found] == [True, False, False]
    assert found == [answer(tmp_path, one) for one in (quick, slow, [])]


def test_marks_of_one_bake_are_one_bake(tmp_path: Path) -> None:
    found = answer(tmp_path, [glass("a", 1.5), glass("a", 2.0), glass("b")])
    assert found["bakes"] == 2


def test_a_later_next_bake_is_less_sure(tmp_path: Path) -> None:
    row = glass("a", unit=0.7)
    fresh, late = answer(tmp_path, [row]), answer(tmp_path, {"observations": [row], "at": NOW + 180 * 86400})
    assert late["sd_ln"] > fresh["sd_ln"]
    assert late == answer(tmp_path, [row], "--at", str(NOW + 180 * 86400))


def test_instants_may_be_text_in_utc_or_with_their_offset(tmp_path: Path) -> None:
    # 2026-11-25T08:00Z is 1795593600 s after 1970 (date -u -d 2026-11-25T08:00Z +%s)
    one, two, three = ([glass("a", unit=0.7, at=at), glass("b", at=1_795_593_600 + 90 * 86400)]
                       for at in (1_795_593_600, "2026-11-25T08:00", "2026-11-25T09:00+01:00"))  # fmt: skip
    assert answer(tmp_path, one) == answer(tmp_path, two) == answer(tmp_path, three)


@pytest.mark.parametrize(
    ("kind", "word", "share"),
    [
        ("press", "doubled", 0.75), ("looked", "well-over", 1.0), ("poke", "slowly", 1.0), ("poked", "slowly", 1.0),
        ("verdict", "right", 1.0),
    ],
)  # fmt: skip
def test_a_word_is_its_share_of_best(tmp_path: Path, kind: str, word: str, share: float) -> None:
    row = {"bake": "a", "at": NOW, "kind": kind, "unit_progress": 0.9, "best_progress": 1.1}
    assert answer(tmp_path, [row | {"value": word}]) == answer(tmp_path, [row | {"value": share}])


def test_past_its_best_never_makes_a_kitchen_slower_and_young_never_quicker(tmp_path: Path) -> None:
    row = {"bake": "a", "at": NOW, "kind": "verdict", "unit_progress": 2.0, "best_progress": 1.0}
    assert answer(tmp_path, [row | {"value": "past"}])["mean_ln"] > 0
    assert answer(tmp_path, [row | {"value": 1.35}])["mean_ln"] < 0
    assert answer(tmp_path, [row | {"value": "young", "unit_progress": 0.5}])["mean_ln"] < 0


@pytest.mark.parametrize(("word", "share", "unit", "way"), [("stays", 1.25, 2.0, 1), ("at-once", 0.8, 0.5, -1)])
def test_a_word_at_the_end_says_at_least_or_at_most(
    tmp_path: Path, word: str, share: float, unit: float, way: int
) -> None:
    """A dent that stays makes no kitchen slower, one that springs back none quicker, as the share itself would."""
    row = {"bake": "a", "at": NOW, "kind": "poke", "unit_progress": unit, "best_progress": 1.0}
    assert way * answer(tmp_path, [row | {"value": word}])["mean_ln"] > 0
    assert way * answer(tmp_path, [row | {"value": share}])["mean_ln"] < 0


def test_a_rate_is_what_a_glass_would_have_said(tmp_path: Path) -> None:
    sd = math.hypot(GLASS_SD, 0.75 * 0.03)
    row = {"bake": "a", "at": NOW, "kind": "rate", "value": 1 / 0.8, "read_sd_ln": sd}
    assert answer(tmp_path, [row]) == answer(tmp_path, [glass("a", 2.0, 0.8)])
    assert answer(tmp_path, [{"at": NOW, "kind": "rate", "value": 1.2}])["mean_ln"] > 0


def test_what_says_nothing_is_left_out_by_its_place(tmp_path: Path) -> None:
    nothing = {"bake": "b", "at": NOW, "kind": "press", "value": "doubled", "unit_progress": 0.0}
    found = answer(tmp_path, [glass("a", 1.0), glass("a"), nothing])
    assert found["left_out"] == [0, 2]
    assert found["bakes"] == 1


def test_without_json_each_case_is_some_lines(tmp_path: Path) -> None:
    result = run(tmp_path, [[], []])
    assert result.exit_code == 0
    assert result.stdout.count("sd_ln: 0.366742") == 2
    assert "\n\nmean_ln" in result.stdout


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ("{", "file"),
        ("7", "file"),
        ({"observations": 3}, "observations"),
        ([7], "cases.0"),
        ([[glass("a")], [glass("a") | {"kind": "smell"}]], "cases.1.observations.0.kind"),
        ([glass("a") | {"at": "yesterday"}], "observations.0.at"),
        ([glass("a") | {"at": None}], "observations.0.at"),
        ([glass("a") | {"value": None}], "observations.0.value"),
        ([glass("a") | {"value": "high"}], "observations.0.value"),
        ([glass("a") | {"unit_progress": True}], "observations.0.unit_progress"),
        ([{"at": NOW, "kind": "poke", "value": "hard", "unit_progress": 1}], "observations.0.value"),
        ([{"at": NOW, "kind": "rate", "value": 0}], "observations.0.value"),
        ({"observations": [], "at": "x"}, "at"),
    ],
)
def test_a_mistake_names_its_place(tmp_path: Path, data: object, field: str) -> None:
    assert problem(tmp_path, data)["field"] == field


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["learn", str(tmp_path / "none.json")])
    assert result.exit_code == 2
    assert "cannot be read" in result.stderr


def test_a_file_that_no_machine_should_swallow_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cases, "MOST_BYTES", 10)
    assert problem(tmp_path, "[" + " " * 20 + "]")["message"].endswith("is too large.")


def test_cases_may_come_through_a_pipe() -> None:
    result = CliRunner().invoke(main, ["learn", "-", "--json"], input="[[], []]")
    assert len(json.loads(result.stdout)) == 2


def test_an_instant_on_the_command_line_that_is_none_is_said(tmp_path: Path) -> None:
    assert problem(tmp_path, [], "--at", "soon")["field"] == "at"


def test_help_names_every_key_of_the_answer_and_every_kind(tmp_path: Path) -> None:
    said = CliRunner().invoke(main, ["learn", "--help"]).stdout
    for word in [*answer(tmp_path, []), "glass", "press", "poke", "verdict", "rate", "unit_progress", "best_progress"]:
        assert word in said
