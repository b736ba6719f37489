"""What a linker would say of the scripts, if there were one: what is imported is there, nothing is exported for nobody.

The pages load modules as they are, so a name that went away stops a page and its service worker with it.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SCRIPTS = sorted((ROOT / "static" / "js").rglob("*.js"))
IMPORT = re.compile(r"""(?:import|export)\s+(?:(\{[^}]*\}|\*\s+as\s+\w+)\s+from\s+)?["']([^"']+)["']""")
LATER = re.compile(r"""\bimport\(["'](\.{1,2}/[^"']+)["']\)""")
EXPORT = re.compile(r"^export\s+(?:async\s+)?(?:function\*?|class|const|let)\s+(\w+)", re.MULTILINE)
EXPORT_LIST = re.compile(r"^export\s*\{([^}]*)\}", re.MULTILINE)


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _exports(path: Path) -> set[str]:
    text = path.read_text(encoding="utf-8")
    listed = {one.split(" as ")[-1].strip() for found in EXPORT_LIST.findall(text) for one in found.split(",")}
    return (set(EXPORT.findall(text)) | listed) - {""}


def _imports(path: Path) -> list[tuple[Path, set[str]]]:
    found = []
    for names, source in IMPORT.findall(path.read_text(encoding="utf-8")):
        wanted = (
            set() if names.startswith("*") else {one.split(" as ")[0].strip() for one in names.strip("{}").split(",")}
        )
        found.append(((path.parent / source).resolve(), wanted - {""}))
    return found


@pytest.mark.parametrize("path", SCRIPTS, ids=_name)
def test_every_name_that_a_script_imports_is_exported_where_it_says(path: Path) -> None:
    for source, wanted in _imports(path):
        assert source.exists(), f"{_name(path)} imports {source}"
        assert wanted <= _exports(source), f"{_name(path)} imports {wanted - _exports(source)} from {_name(source)}"


@pytest.mark.parametrize("path", SCRIPTS, ids=_name)
def test_every_script_that_is_fetched_later_is_there(path: Path) -> None:
    for source in LATER.findall(path.read_text(encoding="utf-8")):
        assert (path.parent / source).exists(), source


def _taken(path: Path) -> set[str]:
    """Names that somebody takes from a script: by an import, or by name where it is fetched later (`kitchen.more`)."""
    taken = {name for one in SCRIPTS for source, names in _imports(one) if source == path for name in names}
    address, later = path.relative_to(ROOT).as_posix(), [one for one in SCRIPTS if path in _later(one)]
    asking = [one for one in (ROOT / "e2e").rglob("*.py") if f'import("/{address}")' in one.read_text(encoding="utf-8")]
    texts = [one.read_text(encoding="utf-8") for one in (*later, *asking, *(SCRIPTS if later else ())) if one != path]
    return taken | {name for name in _exports(path) if any(re.search(rf"[.{{ ]{name}\b", text) for text in texts)}


def _later(path: Path) -> set[Path]:
    return {(path.parent / source).resolve() for source in LATER.findall(path.read_text(encoding="utf-8"))}


@pytest.mark.parametrize("path", SCRIPTS, ids=_name)
def test_nothing_is_exported_for_nobody(path: Path) -> None:
    assert _exports(path) - _taken(path) == set()


def test_imports_and_exports_are_seen() -> None:
    """The patterns of this file at work: nobody imports by hand as many as there are."""
    assert sum(len(wanted) for path in SCRIPTS for _, wanted in _imports(path)) > 150
    assert sum(len(_exports(path)) for path in SCRIPTS) > 100


def test_scripts_do_not_run_in_circles() -> None:
    knows = {path: {source for source, _ in _imports(path)} for path in SCRIPTS}
    while leaves := [path for path, sources in knows.items() if not sources & set(knows)]:
        for leaf in leaves:
            del knows[leaf]
    assert sorted(_name(path) for path in knows) == []


# Which folder may know which, the twins nobody: an arrow that is not here is a script in the wrong place.
KNOWS = {
    "touch": set(),
    "lib": {"touch"},
    "plan": set(),
    "now": {"plan"},
    "scale": set(),
    "pictures": {"lib", "plan"},
    "state": {"lib", "now", "plan", "touch"},
    "step": {"lib", "now", "plan", "scale", "state"},
    "sheets": {"lib", "plan", "now", "scale", "state", "step", "touch", "kitchen"},
    "alarm": {"lib", "now", "plan", "state", "step", "touch"},
    "kitchen": {"alarm", "lib", "now", "pictures", "plan", "state", "step", "touch", "sheets"},
    "pages": {"lib", "state"},
}
WRITES = re.compile(r"\bkitchen\.\w+(?:\.\w+)? (?:=|\+=|-=|\?\?=|\|\|=) ")
WRITERS = {
    "actions.js", "on_the_screen.js", "kitchen.js", "background.js", "alarm.js", "ahead.js", "screen.js", "parts.js",
    "chart.js",
}  # fmt: skip


@pytest.mark.parametrize("path", [path for path in SCRIPTS if path.parent.name in KNOWS], ids=_name)
def test_a_folder_of_scripts_knows_the_folders_below_it_alone(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    sources = [source for source, _ in _imports(path)] + [(path.parent / one).resolve() for one in LATER.findall(text)]
    assert {source.parent.name for source in sources} - {path.parent.name} <= KNOWS[path.parent.name]


def test_every_folder_of_scripts_has_its_place() -> None:
    assert {path.parent.name for path in SCRIPTS} == set(KNOWS)


def test_only_those_that_known_js_names_write_into_the_state() -> None:
    writers = {path.name for path in SCRIPTS if WRITES.search(path.read_text(encoding="utf-8"))}
    head = (ROOT / "static" / "js" / "state" / "known.js").read_text(encoding="utf-8").split("\nimport")[0]
    assert writers == WRITERS
    assert {name for name in WRITERS if name not in head} == set()
