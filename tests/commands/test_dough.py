"""The dough maths on the command line: what scripts rely on, and how it complains."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from tests.oracles.published import published
from webapp.commands.dough import COMMANDS
from webapp.data import doughs

BY_NAME = {command.name: command for command in COMMANDS}


def ask(line: str, *more: str) -> Result:
    """Run a command line as a shell would split it."""
    name, *words = line.split()
    return CliRunner().invoke(BY_NAME[name], [*words, *more])


def answer(line: str, *more: str) -> dict[str, Any]:
    """The JSON object of a command that succeeds."""
    result = ask(line, *more, "--json")
    assert result.exit_code == 0, result.stderr
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def refused(line: str) -> list[dict[str, str]]:
    """The problems of a command that is refused."""
    result = ask(line, "--json")
    assert (result.exit_code, result.stdout) == (2, "")
    problems: list[dict[str, str]] = json.loads(result.stderr)["errors"]
    assert all(set(p) == {"field", "message", "way_out"} for p in problems)
    return problems


RISE = "rise --yeast instant --yeast-percent 0.4 --salt 2.1 --sugar 0 --oil 0 --hydration 72 --dough-temp 25.5"


def test_rise_prints_the_open_stage_and_its_band() -> None:
    # Forkish, Flour Water Salt Yeast, Saturday White Bread: stated 5 h; recipe times scatter by a factor of 1.3-1.4
    found = answer(f"{RISE} --stage 21:ready --tau 3.0 --increase 2.0")
    assert found["early_h"] < found["ready_h"] < found["late_h"]
    assert found["early_h"] <= 5 <= found["late_h"]
    assert found["outside_range"] == []


def test_rise_says_the_same_as_the_model_for_every_published_dough() -> None:
    for dough in published():
        leg, make = dough.legs[0], dough.make
        found = answer(
            f"rise --yeast-percent {make.instant_percent} --salt {make.salt_percent} --sugar {make.sugar_percent} "
            f"--oil {make.oil_percent} --hydration {make.hydration_percent} --dough-temp {dough.dough_c} "
            f"--stage {leg.ambient_c}:ready --tau {leg.tau_s / 3600} --increase {dough.increase}"
        )
        assert found["ready_h"] == pytest.approx(dough.predicted().ready_s / 3600, abs=1e-3)


def test_stages_repeat_in_order_and_those_after_the_open_one_count() -> None:
    way = "--stage 22:2 --stage 4:ready --stage 21:1 --tau 2 --increase 1.2"
    ready_h = answer(f"rise --yeast-percent 0.3 --dough-temp 24 {way}")["ready_h"]
    without = answer("rise --yeast-percent 0.3 --dough-temp 24 --stage 22:2 --stage 4:ready --tau 2 --increase 1.2")
    assert 0 < ready_h < without["ready_h"]
    closed = f"yeast --dough-temp 24 --stage 22:2 --stage 4:{ready_h} --stage 21:1 --tau 2 --increase 1.2"
    assert answer(closed)["instant_percent"] == pytest.approx(0.3, rel=1e-3)  # the other command, the same way back


@pytest.mark.parametrize(("kind", "percent"), [("fresh", 0.4 / 0.33), ("active-dry", 0.4 / 0.825)])
def test_yeast_of_another_kind_is_converted(kind: str, percent: float) -> None:
    same = answer(f"{RISE} --stage 21:ready --tau 3.0 --increase 2.0")["ready_h"]
    other = RISE.replace("instant", kind).replace("0.4", f"{percent}")
    assert answer(f"{other} --stage 21:ready --tau 3.0 --increase 2.0")["ready_h"] == pytest.approx(same, abs=1e-3)


def test_mass_and_vessel_stand_in_for_the_time_constant() -> None:
    found = answer(f"{RISE} --stage 21:1 --stage 4:ready --mass 1000 --vessel tub --increase 2.0")
    assert found["tau_h"][0] == pytest.approx(2.67, abs=0.05)  # trade notes: 1 kg about 2-2.5 h, a tub 10-30 % more
    assert found["tau_h"][1] < found["tau_h"][0]  # moving air in the fridge


def test_what_never_gets_ready_is_null_and_says_why() -> None:
    found = answer("rise --yeast-percent 0.1 --dough-temp 4 --stage -8:ready --tau 2 --increase 1")
    assert found["ready_h"] is None
    assert any("60 days" in text for text in found["outside_range"])


def test_stages_that_do_it_alone_leave_nothing_open_and_say_so() -> None:
    found = answer("rise --yeast-percent 1 --dough-temp 24 --stage 24:9 --stage 4:ready --tau 2 --increase 1")
    assert found["ready_h"] == 0
    assert any("alone" in text for text in found["outside_range"])


def test_the_warmth_for_a_wanted_time_takes_that_time() -> None:
    one = f"{RISE} --tau 3 --increase 2"
    warm = answer(f"{one} --stage 21:ready --wanted-hours 5.8")["stage_for_wanted_c"]
    assert warm > 21
    assert answer(f"{one} --stage {warm}:ready")["ready_h"] == pytest.approx(5.8, abs=0.01)
    assert answer(f"{one} --stage 21:ready --wanted-hours 0.5")["stage_for_wanted_c"] is None  # no room is warm enough


def test_a_quicker_kitchen_is_sooner() -> None:
    slow, quick = (answer(f"{RISE} --vigour {v} --stage 21:ready --tau 3 --increase 2")["ready_h"] for v in (1, 1.3))
    assert quick < slow


def test_outside_the_range_it_still_answers_and_says_so() -> None:
    found = answer("rise --yeast-percent 0.02 --sugar 12 --dough-temp 24 --stage 20:ready --tau 2 --increase 1")
    assert found["ready_h"] > 0
    assert len(found["outside_range"]) == 2


@pytest.mark.parametrize(
    ("line", "field"),
    [
        (f"{RISE} --stage 21:soon --tau 3 --increase 2", "stage"),
        (f"{RISE} --stage 21 --tau 3 --increase 2", "stage"),
        (f"{RISE} --stage 999:ready --tau 3 --increase 2", "stage"),
        (f"{RISE} --stage 21:-4 --tau 3 --increase 2", "stage"),
        (f"{RISE} --stage 21:nan --tau 3 --increase 2", "stage"),
        (f"{RISE} --stage 21:4 --tau 3 --increase 2", "stage"),
        (f"{RISE} --stage 21:ready --increase 2", "tau"),
        (f"{RISE} --stage 21:ready --tau 0 --increase 2", "tau"),
        (f"{RISE} --stage 21:ready --mass -5 --increase 2", "mass"),
        (f"{RISE} --stage 21:ready --tau 3 --increase nan", "increase"),
        (f"{RISE} --stage 21:ready --tau 3 --increase 0", "increase"),
        (f"{RISE} --stage 21:ready --tau 3 --increase 2 --past-increase -1", "past_increase"),
        ("rise --yeast-percent 0 --dough-temp 24 --stage 21:ready --tau 3 --increase 2", "yeast_percent"),
        ("rise --yeast-percent nan --dough-temp 24 --stage 21:ready --tau 3 --increase 2", "yeast_percent"),
        ("rise --yeast-percent 1 --dough-temp 1000 --stage 21:ready --tau 3 --increase 2", "dough_temp"),
        ("rise --yeast-percent 1 --stage 21:ready --tau 3 --increase 2", "dough_temp"),
        ("rise --yeast wild --yeast-percent 1 --dough-temp 24 --stage 21:ready --tau 3 --increase 2", "yeast"),
        ("rise --yeast-percent much --dough-temp 24 --stage 21:ready --tau 3 --increase 2", "yeast_percent"),
        ("scale --dough 800 --wings 2", "wings"),
        ("scale stray", "command"),
        (f"{RISE} --salt -1 --stage 21:ready --tau 3 --increase 2", "salt"),
        (f"{RISE} --vigour 0 --stage 21:ready --tau 3 --increase 2", "vigour"),
        (f"{RISE} --stage 21:ready --tau 3 --increase 2 --wanted-hours -1", "wanted_hours"),
        (f"{RISE} --stage 21:ready --stage 4:1 --tau 3 --increase 2 --wanted-hours 5", "wanted_hours"),
        ("yeast --dough-temp 24 --stage 21:ready --tau 2 --increase 1", "stage"),
        ("yeast --dough-temp 4 --stage -9:5 --tau 0.1 --increase 1", "stage"),
        ("yeast --dough-temp 24 --stage 21:9 --tau 2 --increase 1 --flour -3", "flour"),
        ("yeast --dough-temp 24 --stage 21:9 --tau 2 --increase 1 --flour 500 --micro-step nan", "micro_step"),
        ("water --dough-temp 24 --flour 0 --water 600 --flour-temp 20", "flour"),
        ("water --dough-temp 240 --flour 900 --water 600 --flour-temp 20", "water"),
        ("water --dough-temp 24 --flour 900 --water 600 --flour-temp 20 --preferment -1", "water"),
        ("scale --dough 800 --pan round:28", "dough"),
        ("scale", "dough"),
        ("scale --pan star:28", "pan"),
        ("scale --pan rectangle:28", "pan"),
        ("scale --pan round:big", "pan"),
        ("scale --pan round:nan", "pan"),
        ("scale --dough 800 --formula stone-soup", "formula_key"),
        ("scale --dough 800 --scale-step 0", "scale_step"),
        ("scale --dough 800 --poured water", "poured"),
        ("scale --dough 800 --poured gold:5", "line"),
        ("scale --dough 800 --poured water:-5", "grams"),
        ("scale --dough 800 --water 0", "water"),
        ("scale --dough 800 --water nan", "water"),
        ("scale --dough 800 --salt 9", "salt"),
    ],
)  # fmt: skip
def test_bad_input_ends_with_status_2_and_names_the_option(line: str, field: str) -> None:
    assert field in {p["field"] for p in refused(line)}


def test_without_json_a_wrong_option_is_a_plain_line_too() -> None:
    result = ask("rise --stage 21:ready")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Missing option" in result.stderr
    assert "{" not in result.stderr


def test_without_json_problems_are_plain_lines() -> None:
    result = ask("scale --dough 800 --salt 9")
    assert result.exit_code == 2
    assert "salt: 9 % salt" in result.stderr


def test_yeast_comes_in_grams_with_its_dosing_when_the_flour_is_known() -> None:
    scales = "--flour 480 --micro-step 0.01"
    found = answer(f"yeast --yeast fresh --dough-temp 24 --stage 20:9 --tau 2 --increase 1.5 {scales}")
    assert found["yeast_percent"] == pytest.approx(found["instant_percent"] / 0.33, rel=1e-4)
    assert found["yeast_g"] == pytest.approx(4.8 * found["yeast_percent"], rel=1e-3)
    assert "fine scale" in found["dosing"]
    assert found["increase_low"] < 1.5 < found["increase_high"]


def test_water_is_the_heat_balance_beside_the_bakers_rules() -> None:
    # trade notes, section 6: heat balance 26.6 C without mixing heat, three-factor 32 with no friction
    found = answer("water --dough-temp 24 --flour 1000 --water 650 --flour-temp 20 --mixing-rise 0 --friction 0")
    assert found["water_c"] == pytest.approx(26.6, abs=0.06)
    assert found["three_factor_c"] == 32
    assert "four_factor_c" not in found


def test_ice_is_counted_when_the_tap_is_too_warm() -> None:
    found = answer("water --dough-temp 20 --flour 1000 --water 650 --flour-temp 30 --tap 22 --preferment 300")
    assert found["ice_g"] > 0
    assert found["ice_g"] + found["tap_water_g"] == pytest.approx(650, abs=0.2)
    assert "four_factor_c" in found


def test_scale_is_the_worked_example_and_adds_up() -> None:
    # trade notes, section 13: 540 g of 100 / 70 / 2.2 / 0.3 / 3
    found = answer("scale --dough 540 --water 70 --salt 2.2 --oil 3 --yeast-percent 0.3 --micro-step 0.01")
    grams = {line["key"]: line["exact_g"] for line in found["lines"]}
    expected = {"flour": 307.69, "water": 215.38, "salt": 6.77, "yeast": 0.92, "oil": 9.23}
    assert grams == pytest.approx(expected, abs=0.006)
    assert found["weighed_g"] == pytest.approx(540, abs=0.5)


def test_pans_decide_the_dough_at_the_styles_loading_or_a_given_one() -> None:
    pans = ("--pan", "rectangle:38x28", "--pan", "measured:600", "--pan", "oval:36x24", "--pan", "round:28")
    found = answer("scale --formula oil-tray --loss 2", *pans)
    area = 1064 + 600 + 678.58 + 615.75
    assert found["area_cm2"] == pytest.approx(area, abs=0.1)
    assert found["dough_g"] == pytest.approx(area * 0.85 / 0.98, abs=0.2)
    assert answer("scale --formula oil-tray --loading 0.9", *pans)["dough_g"] == pytest.approx(area * 0.9, abs=0.2)


def test_an_over_pour_makes_everything_else_rise() -> None:
    # by hand: 1000 flour, 700 water, 20 salt, 5 yeast; 840 g of water went in
    one = "scale --dough 1725 --water 70 --salt 2 --yeast-percent 0.5 --micro-step 0.01"
    found = answer(f"{one} --poured water:840 --poured dough/salt:20")
    weigh = {line["key"]: line["weigh_g"] for line in found["lines"]}
    assert (weigh["flour"], weigh["water"], weigh["salt"]) == (1200, 840, pytest.approx(24))
    assert (found["mended_factor"], found["added_g"]) == (pytest.approx(1.2), pytest.approx(345, abs=1))
    assert "mended_factor" not in answer(one)


def test_a_formulas_yeast_may_be_of_another_kind() -> None:
    found = answer("scale --formula bench-tray --dough 745 --yeast fresh --micro-step 0.01")
    (yeast,) = [line for line in found["lines"] if line["kind"] == "yeast"]
    assert yeast["percent"] == pytest.approx(doughs.formula("bench-tray").yeast_percent / 0.33, rel=1e-3)


OWN = """
name = "Mine"
key = "mine"
style = "tray"
ingredients = [
  { key = "flour", name = "Flour", kind = "flour", percent = 100 },
  { key = "water", name = "Water", kind = "water", percent = 66 },
]
"""


def test_a_formula_of_ones_own_comes_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(OWN, encoding="utf-8")
    assert answer("scale --dough 500", "--file", str(file))["hydration_percent"] == 66
    file.write_text("[[formula]]\n" + OWN.replace("66", "67"), encoding="utf-8")
    assert answer("scale --dough 500", "--file", str(file))["hydration_percent"] == 67


@pytest.mark.parametrize("content", ["name = ", "formula = 3", "formula = [3]"])
def test_a_file_that_is_no_formula_is_refused(tmp_path: Path, content: str) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(content, encoding="utf-8")
    assert ask("scale --dough 500 --json --file", str(file)).exit_code == 2


def test_every_command_speaks_plain_lines_too() -> None:
    for line in (
        f"{RISE} --stage 21:ready --tau 3 --increase 2", "yeast --dough-temp 24 --stage 20:9 --tau 2 --increase 1.5",
        "water --dough-temp 24 --flour 100 --water 65 --flour-temp 20", "scale --dough 500",
        "rise --yeast-percent 0.1 --dough-temp 4 --stage -8:ready --tau 2 --increase 1",
    ):  # fmt: skip
        result = ask(line)
        assert result.exit_code == 0
        assert "{" not in result.stdout
