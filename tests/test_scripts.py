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
