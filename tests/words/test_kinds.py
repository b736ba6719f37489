"""The words of the closed sets: total for mypy, written once, and with the phone in its bundle."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any, get_args

from webapp.core import kinds
from webapp.core.kitchen import DayHours, Person
from webapp.data.trouble import signs
from webapp.words.kinds.flags import flag_words, good_words
from webapp.words.kinds.outcome import outcome_said, part_word
from webapp.words.pages.usual import hours_in_words
from webapp.words.screen.bundle import HELP, phone_words
from webapp.words.times import WEEKDAYS

ROOT = Path(__file__).parents[2]
LABELS = ROOT / "static" / "js" / "lib" / "labels.js"


def _sets() -> dict[str, tuple[str, ...]]:
    """The closed sets by name."""
    found = {name: get_args(value) for name, value in vars(kinds).items() if not name.startswith("_")}
    return {name: words for name, words in found.items() if words and all(isinstance(word, str) for word in words)}


def test_mypy_names_every_function_that_lacks_a_word_for_a_new_kind(tmp_path: Path) -> None:
    """A kind is planted in each set of a copy: every function that is total over the set must be found."""
    shutil.copytree(ROOT / "webapp", tmp_path / "webapp", ignore=shutil.ignore_patterns("_*", "*.pyc"))
    for path in (ROOT / "webapp").rglob("__init__.py"):
        shutil.copy(path, tmp_path / path.relative_to(ROOT))
    planted = tmp_path / "webapp" / "core" / "kinds.py"
    text = planted.read_text(encoding="utf-8")
    planted.write_text(re.sub(r"^(\w+ = Literal\[)", r'\1"planted", ', text, flags=re.MULTILINE), encoding="utf-8")
    files = [one.relative_to(ROOT).as_posix() for one in sorted((ROOT / "webapp/words/kinds").glob("[!_]*.py"))]
    command = [sys.executable, "-m", "mypy", "--strict", "--cache-dir", str(tmp_path / "cache"), *files]
    run = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    for name in files:
        tree = ast.parse((tmp_path / name).read_text(encoding="utf-8"))
        total = [
            f for f in tree.body if isinstance(f, ast.FunctionDef) and any(isinstance(b, ast.Match) for b in f.body)
        ]
        assert total, name
        for function in total:
            lines = range(function.lineno, (function.end_lineno or 0) + 1)
            found = re.findall(rf"{name}:(\d+): error: Argument 1 to .assert_never", run.stdout)
            assert set(lines) & set(map(int, found)), f"{name}: {function.name} took a planted kind"


def _pairs(node: ast.AST) -> dict[str, str]:
    """Words by key, of a dict display or of a tuple or list of pairs; empty for what is neither."""
    pairs: list[tuple[Any, Any]] = []
    if isinstance(node, ast.Dict):
        pairs = list(zip(node.keys, node.values, strict=True))
    elif isinstance(node, ast.Tuple | ast.List):
        pairs = [tuple(one.elts) for one in node.elts if isinstance(one, ast.Tuple) and len(one.elts) == 2]
    text = [(k.value, v.value) for k, v in pairs if isinstance(k, ast.Constant) and isinstance(v, ast.Constant)]
    return {key: word for key, word in text if isinstance(key, str) and isinstance(word, str) and key}


# Words over a set that are no names of its kinds, each with its reason.
OWN_WORDS = {
    "MIXING_WORDS": "what to do, a sentence for each",
    "SLAB_WORDS": "the material inside a sentence",
    "WHY": "a reason for each row of the costs",
    "FILE_RINGS": "whether a file rings on such a phone, a sentence for each",
}


def test_no_closed_set_is_given_words_a_second_time() -> None:
    """A dict or a list of pairs over a set, anywhere but in the modules that hold their words."""
    again = []
    sets = {name: set(kind) for name, kind in _sets().items() if len(kind) > 2}
    for path in sorted((ROOT / "webapp").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        excused = {
            id(node.value)
            for node in ast.walk(tree)
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.target.id in OWN_WORDS
        }
        for node in ast.walk(tree):
            words = _pairs(node) if id(node) not in excused else {}
            over = [name for name, kind in sets.items() if words.keys() >= kind] if words else []
            if over and any(" " in word or word[:1].isupper() for word in words.values()):
                again.append(f"{path.relative_to(ROOT)}:{node.lineno} {over}")  # type: ignore[attr-defined]
    assert again == []


# A word that is shown, and the one file that writes it down.
ONCE = {
    "Wednesday": "webapp/words/times.py",
    '"tomorrow"': "webapp/words/times.py",
    '"in the warm spot"': "webapp/words/kinds/places.py",
    '"in the fridge"': "webapp/words/kinds/places.py",
    "covered into the fridge": "webapp/words/kinds/places.py",
    "longer than this method likes": "webapp/words/kinds/flags.py",
    "Not ready yet when I pressed it": "webapp/words/kinds/outcome.py",
    "not ready yet": "webapp/words/kinds/outcome.py",
    "Too old: flat and spread": "webapp/words/kinds/outcome.py",
    "Well over double": "webapp/words/kinds/taps.py",
    "ook at the base": "webapp/words/kinds/oven.py",
    "when it went into the oven": "webapp/words/shared.py",
    "Something broke on the server": "webapp/words/problems/told.py",
    "cannot be read by this version of": "webapp/words/problems/told.py",
    "Tick something, or write": "webapp/words/shared.py",
    "oil and paper can burn": "webapp/words/shared.py",
    "been out of the fridge for": "webapp/words/shared.py",
    "hrow it away and take fresh": "webapp/words/shared.py",
    "eep it in the fridge until shortly": "webapp/words/shared.py",
}


def test_a_word_that_is_shown_stands_in_one_file() -> None:
    files = [
        *(ROOT / "webapp").rglob("*.py"),
        *(ROOT / "static/js").rglob("*.js"),
        *(ROOT / "templates").rglob("*.html"),
    ]
    for word, place in ONCE.items():
        found = {path.relative_to(ROOT).as_posix() for path in files if word in _unspoken(path)}
        assert found == {place}, word


def _unspoken(path: Path) -> str:
    """The text of a file without its comments and docstrings."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        return re.sub(r'""".*?"""|#[^\n]*', "", text, flags=re.DOTALL)
    return re.sub(r"(?m)^\s*//.*$|\{#.*?#\}", "", text)


def test_every_kind_that_the_screen_speaks_of_has_its_label() -> None:
    expected: dict[str, Any] = {
        "done": kinds.StepKind, "looks": kinds.Look, "pokes": kinds.Poke, "baking": kinds.BakeLook,
    }  # fmt: skip
    for name, kind in expected.items():
        assert set(phone_words()[name]) == set(get_args(kind)), name


def test_what_is_seen_in_front_of_the_oven_has_what_to_do_in_the_bundle() -> None:
    assert {key for key in HELP if key.startswith("baking-")} == {f"baking-{one}" for one in kinds.BAKE_LOOKS}


def test_what_a_bundle_brings_has_a_short_word_on_the_screen_for_bundles_from_before() -> None:
    text = LABELS.read_text(encoding="utf-8")
    plain = text[text.index("const PLAIN") :]
    for name, words in phone_words().items():
        if name in ("days", "oven", "help", "there", "phrases", "done", "parts", "verdicts", "timings"):
            # A day has its name, a line of the programme its text, a step no name and "Done", a sheet less; how it came
            # out is not asked until the bundle was fetched again.
            continue
        line = next(line for line in plain.splitlines() if line.startswith(f"  {name}:"))
        pairs = words.items() if isinstance(words, dict) else [(name, words)] if isinstance(words, str) else words
        keys = [key for key, _ in pairs]
        own = {key for said in re.findall(r'own\("([^"]+)"\)', line) for key in said.split()}  # their key says it
        assert all(key in own or re.search(rf'[{{\[ ]"?{re.escape(key)}"?[:,] "', line) for key in keys), name


def test_a_flag_says_its_time_and_says_nothing_in_the_oven() -> None:
    assert flag_words("past", "press", True, "18:40") == "the dough is past its best from 18:40 on."
    assert flag_words("long", "turn-down", False, "") == ""
    assert flag_words("long", "press", True, "") != flag_words("long", "fold", False, "")
    assert flag_words("", "press", True, "") == ""


def test_a_dough_that_rises_says_how_long_it_is_good() -> None:
    said = good_words("17:10", "18:00", "19:30")
    assert said == "Good from 17:10, best at 18:00, past its best from 19:30."
    assert good_words("17:10", "18:00", "") == "Good from 17:10, best at 18:00.", "no end within two days has no clock"


def test_answers_are_named_by_the_question_they_answer() -> None:
    assert outcome_said("verdict", "past", {}) == "past its best"
    assert outcome_said("timing", "late", {}) == "past its best"
    assert outcome_said("base", "pale-base of-old", {"pale-base": "pale"}) == "pale, of-old"


def test_a_sign_beside_the_name_of_its_part_does_not_say_it_again() -> None:
    beside = {sign.key: sign.beside or sign.name for sign in signs()}
    assert outcome_said("base", "pale-base", beside) == "pale or soft"
    assert outcome_said("top", "dark-cheese", beside) == "too dark"
    assert outcome_said("top", "wet-top", beside) == "Wet under the topping"


def test_a_question_of_how_it_came_out_has_one_label_everywhere() -> None:
    labels = [part_word(part) for part in (*kinds.OUTCOME_PARTS, "timing", "verdict")]
    assert labels[:3] == ["Base", "Top", "Crumb"]
    assert labels[3:] == [phone_words()["said"][one] for one in ("timing", "verdict")], "as the kitchen asks it"
    assert part_word("of-a-newer-phone") == "of-a-newer-phone"


def test_a_week_is_said_by_the_days_of_words_times() -> None:
    free = Person("Me", (DayHours(),) * 7)
    assert hours_in_words(free, "24") == f"{WEEKDAYS[0][:3]}–{WEEKDAYS[6][:3]} at home"
