"""Functions of the scripts are short: counted in the tree that a parser makes of each, not by braces.

The parser is acorn, which Node holds for itself; the Node is the one that Playwright brings along.
"""

from __future__ import annotations

import json
import subprocess
from functools import cache
from pathlib import Path

import playwright

ROOT = Path(__file__).resolve().parent.parent
NODE = Path(playwright.__file__).parent / "driver" / "node"
# [file, line, lines of the body] of every function, method and arrow; braces on lines of their own are not counted.
COUNT = """
const acorn = require("internal/deps/acorn/acorn/dist/acorn");
const { full } = require("internal/deps/acorn/acorn-walk/dist/walk");
const { readFileSync } = require("node:fs");
const found = [];
for (const file of process.argv.slice(1)) {
  const options = { ecmaVersion: "latest", sourceType: "module", locations: true };
  full(acorn.parse(readFileSync(file, "utf8"), options), ({ type, body }) => {
    if (type.includes("Function")) {
      const lines = body.loc.end.line - body.loc.start.line + 1;
      found.push([file, body.loc.start.line, body.type === "BlockStatement" && lines > 1 ? lines - 2 : lines]);
    }
  });
}
console.log(JSON.stringify(found));
"""


def _functions(*scripts: Path) -> list[tuple[str, int, int]]:
    command = [str(NODE), "--expose-internals", "-e", COUNT, *map(str, scripts)]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    return [(name, line, lines) for name, line, lines in json.loads(run.stdout)]


@cache
def _of_the_house() -> tuple[tuple[str, int, int], ...]:
    return tuple(_functions(*sorted((ROOT / "static").rglob("*.js"))))


def test_lines_are_counted_as_a_person_counts_them(tmp_path: Path) -> None:
    script = tmp_path / "one.js"
    script.write_text(
        "const twice = (x) => x * 2; // one line\n"
        "export function pair(a) {\n  const brace = '{';\n  return [a, /}/.test(brace)];\n}\n"
        "class Box {\n  open() {\n    return [1, 2].map((one) => {\n      return one;\n    });\n  }\n}\n",
        encoding="utf-8",
    )
    assert sorted((line, lines) for _, line, lines in _functions(script)) == [(1, 1), (2, 2), (7, 3), (8, 1)]


def test_no_function_of_a_script_is_longer_than_a_screen() -> None:
    """The same as for Python in test_house_rules.py: median 8 at most, nine of ten under 25, none over 50."""
    assert [(name, line) for name, line, lines in _of_the_house() if lines > 50] == []
    lengths = sorted(lines for _, _, lines in _of_the_house())
    assert lengths[len(lengths) // 2] <= 8
    assert lengths[len(lengths) * 9 // 10] < 25


def test_every_script_is_counted() -> None:
    named = {name for name, _, _ in _of_the_house()}
    bare = {str(path) for path in (ROOT / "static").rglob("*.js")} - named
    assert all("=>" not in Path(name).read_text(encoding="utf-8") for name in bare), bare
