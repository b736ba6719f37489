"""Closed sets: written once, read strictly, and covered by every table over them."""

from __future__ import annotations

import ast
import re
from importlib import import_module
from pathlib import Path
from typing import Any, get_args

import pytest

from webapp.core import kinds
from webapp.core.formula import ingredients, method
from webapp.core.kitchen import Kitchen
from webapp.core.learning import habits, lessons, observed
from webapp.core.now import estimate
from webapp.core.oven import function, profile, slab
from webapp.core.plan import tray
from webapp.core.rise import dough_heat
from webapp.core.safety.cautions import CONDITIONS
from webapp.core.scale import pans
from webapp.data.doughs import table
from webapp.data.safety import caution_rules
from webapp.forms.kitchen import SCALE_STEPS
from webapp.kitchens.incoming import LeftOut, kitchen_of_file
from webapp.records import ShapeError, from_plain, to_plain
from webapp.web.phone import schemas
from webapp.words.learned import NUMBER_WORDS
from webapp.words.plan import steps
from webapp.words.plan.offers import WHY
from webapp.words.plan.oven import SLAB_WORDS
from webapp.words.plan.steps import step_texts
from webapp.words.problems.told import SENTENCES

WEBAPP = Path(__file__).parents[2] / "webapp"
SCRIPTS = WEBAPP.parent / "static" / "js"
TOLD_ELSEWHERE = ("told", "refused")  # in words of their own, with no sentence that waits for them
TABLES: list[tuple[object, Any]] = [
    (kinds.Mixing, dough_heat.FRICTION_C),
    (kinds.Mixing, steps.MIXING_WORDS),
    (kinds.BreadStyle, profile.STYLES),
    (kinds.PanShape, pans.SHAPES),
    (kinds.ChainKind, method.CHAIN_STEPS),
    (kinds.EventKind, schemas.DATA_OF),
    (kinds.StepKind, table("steps")),
    (kinds.StepKind, step_texts()),
    (kinds.SlabKind, SLAB_WORDS),
    (kinds.YeastKind, ingredients._INSTANT_PER),
    (kinds.Timing, lessons.VERDICT_OF_TIMING),
    (kinds.Look, observed.PRESS_SHARES),
    (kinds.Poke, observed.POKE_SHARES),
    (kinds.Verdict, observed.VERDICT_SHARES),
    (kinds.MassUnit, SCALE_STEPS),
    (kinds.OvenFunction, function.FUNCTIONS),
    (kinds.CostKey, WHY),
    (kinds.CautionWhen, CONDITIONS),
    (kinds.HabitField, habits.FIELDS),
    (kinds.Look, {word: share for word, share, _ in estimate.LOOK_OF_BEST}),
    (kinds.Poke, {word: share for word, share, _ in estimate.POKE_OF_BEST}),
    (kinds.BakeNumber, NUMBER_WORDS),
    (kinds.ProblemKind, {**dict.fromkeys(TOLD_ELSEWHERE), **SENTENCES}),
    (kinds.CautionKey, {rule.key: rule for rule in caution_rules()}),
]


@pytest.mark.parametrize(("closed", "covered"), TABLES)
def test_a_table_over_a_closed_set_covers_it_and_nothing_else(closed: object, covered: dict[str, object]) -> None:
    assert set(covered) == set(get_args(closed))


# Tables over a part of a set, each with what those that are left out have instead.
PARTIAL = {
    "TO_DO": "a step that nobody comes for has no word on the home page",
    "ALARM_MIN": "the others ring when they begin",
    "MATERIALS": "the tray alone has none",
    "SETTINGS": "over the fields of a record",
}


def _typed_tables() -> list[tuple[str, str, str]]:
    """(module, name, set) of every table whose type names a closed set as its keys."""
    found = []
    for path in sorted(WEBAPP.rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                typed = re.match(r"(?:dict|Mapping)\[(\w+), ", ast.unparse(node.annotation))
                if typed and get_args(getattr(kinds, typed[1], None)) and node.target.id not in PARTIAL:
                    module = ".".join(path.relative_to(WEBAPP.parent).with_suffix("").parts)
                    found.append((module, node.target.id, typed[1]))
    return found


@pytest.mark.parametrize(("module", "name", "closed"), _typed_tables())
def test_a_table_that_is_typed_by_its_set_covers_it_the_day_it_is_born(module: str, name: str, closed: str) -> None:
    wanted = set(get_args(getattr(kinds, closed)))
    if closed == "ProblemKind":  # the sentences lie in two tables; together they are tested above
        wanted &= set(getattr(import_module(module), name))
    assert set(getattr(import_module(module), name)) == wanted


def test_tables_that_are_typed_by_their_sets_are_found() -> None:
    assert len(_typed_tables()) >= 12


def test_dough_has_a_time_constant_in_every_vessel_in_every_heated_place() -> None:
    every = {(vessel, place) for vessel in kinds.VESSELS for place in kinds.HEATED_PLACES}
    assert set(dough_heat.HEAT_TRANSFER) == every


def test_every_slab_but_the_bare_tray_has_its_material() -> None:
    assert set(slab.MATERIALS) == set(kinds.SLAB_KINDS) - {"tray"}


def test_every_pan_shape_has_a_floor_a_wall_and_a_picture() -> None:
    drawn = (WEBAPP.parent / "templates" / "parts" / "icons.html").read_text(encoding="utf-8")
    for shape in kinds.PAN_SHAPES:
        made = pans.pan("p", "Pan", shape, 30.0, 20.0, water_g=600.0)
        assert made.area_cm2 > 0
        assert pans.wall_cm([made]) >= pans.least_wall_cm(made.area_cm2) - 1e-9, "no shape has less than a circle"
        assert f'"pan-{shape}":' in drawn


def test_narrow_sets_lie_inside_the_wide_ones() -> None:
    inside = [
        (kinds.ChainKind, kinds.StepKind), (kinds.SideKind, kinds.StepKind), (kinds.BakeKind, kinds.OvenKind),
        (kinds.OvenKind, kinds.StepKind), (kinds.RestingPlace, kinds.HeatedPlace), (kinds.HeatedPlace, kinds.Place),
        (kinds.BulkVessel, kinds.Vessel), (kinds.IngredientKind, kinds.LineKind),
        (kinds.HeatUnit, kinds.DialUnit), (kinds.Place, kinds.PlaceNow),
        (kinds.RestingPlace, kinds.ProofPlace), (kinds.SeenKind, kinds.LessonKind),
    ]  # fmt: skip
    assert all(set(get_args(narrow)) <= set(get_args(wide)) for narrow, wide in inside)


def test_a_value_outside_its_set_is_refused_with_its_path_and_the_choice() -> None:
    plain = to_plain(tray.Pan("p", "Pan", "round", 600.0)) | {"shape": "star"}
    with pytest.raises(ShapeError) as caught:
        from_plain(tray.Pan, plain, "pans.0")
    problem = caught.value.problems[0]
    assert problem.field == "pans.0.shape"
    assert "rectangle, round, oval, measured" in str(problem.figures["expected"])
    out = LeftOut()
    assert kitchen_of_file({"oven": {"slab": "marble"}}, out).oven == Kitchen().oven
    assert out.told() == ("Settings (oven)",)
    with pytest.raises(ShapeError):
        from_plain(tray.Pan, plain | {"shape": ["round"]})


def _script_sets() -> dict[str, list[str]]:
    """The sets of the scripts by name; one that is spread into another is written out."""
    text = (SCRIPTS / "plan" / "kinds.js").read_text(encoding="utf-8")
    found: dict[str, list[str]] = {}
    for name, inside in re.findall(r"^export const (\w+) = \[(.*)\];$", text, re.MULTILINE):
        parts = [one.strip() for one in inside.split(",")]
        words = (found[one[3:]] if one.startswith("...") else [one.strip('"')] for one in parts)
        found[name] = [one for several in words for one in several]
    assert len(found) == text.count("export const")
    return found


def test_sets_that_scripts_ask_about_hold_the_words_of_these() -> None:
    sets = _script_sets()
    assert len(sets) >= 5
    assert sets == {name: list(getattr(kinds, name)) for name in sets}


def test_no_script_writes_such_a_set_a_second_time() -> None:
    sets = {frozenset(words) for words in _script_sets().values()}
    assert _written_again('const MIXES = ["mix", "preferment"];', sets)
    again = {
        path.name: _written_again(path.read_text(encoding="utf-8"), sets)
        for path in SCRIPTS.rglob("*.js")
        if path.name != "kinds.js"
    }
    assert {name: found for name, found in again.items() if found} == {}


def _written_again(text: str, sets: set[frozenset[str]]) -> list[str]:
    lists = re.findall(r'\[((?:"[a-z-]+",? ?)+)\]', text)
    return [one for one in lists if frozenset(re.findall(r'"([a-z-]+)"', one)) in sets]


@pytest.mark.many_cases
def test_no_closed_set_is_written_a_second_time() -> None:
    """A tuple, list or set display of all of a set's words, anywhere but in kinds.py and in twins, whose lists are read
    side by side with their JavaScript."""
    sets = {
        frozenset(get_args(value)): name
        for name, value in vars(kinds).items()
        if not name.startswith("_") and len(get_args(value)) > 2
    } | {frozenset(value): name for name, value in vars(kinds).items() if name.isupper() and isinstance(value, tuple)}
    again = []
    for path in WEBAPP.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Tuple | ast.List | ast.Set)
                and path.name != "kinds.py"
                and path.parent.name != "now"
            ):
                words = [one.value for one in node.elts if isinstance(one, ast.Constant)]
                if len(words) == len(node.elts) and frozenset(map(str, words)) in sets:
                    again.append(f"{path.name}:{node.lineno} {words}")
    assert again == []
