"""A kind of contract for `lint-imports`: what of the world outside the house each room knows, and nothing else.

The kinds that come with import-linter forbid what they name. This one names what is allowed, so that a library which
nobody thought of, the tests, or a corner of the standard library breaks it on the day it is imported; so does a leave
that nobody uses any more. `known` in pyproject.toml is a list of "room: name, name": a room is a package with all
inside, or one module; a dotted name allows that part alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from grimp import ImportGraph
from importlinter import Contract, ContractCheck, fields, output

Leave = tuple[str, str]  # room, name


def _within(name: str, whole: str) -> bool:
    return name == whole or name.startswith(f"{whole}.")


def _written(line: str, root: str) -> set[str]:
    """What a line imports of that root, with its dots: grimp keeps the root alone. `import a, b.c` names several."""
    code = line.partition("#")[0]
    names = re.findall(r"[\w.]+", code.partition(" import ")[0] if code.startswith("from ") else code)
    return {name for name in names if _within(name, root)} or {root}


class OutsideContract(Contract):  # type: ignore[misc]  # ships no types
    """Each room knows what it was given."""

    type_name = "outside"
    known = fields.ListField(subfield=fields.StringField())

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        """Kept where every import from outside has its leave, and every leave its import."""
        leaves = set(self._leaves())
        used: set[Leave] = set()
        strange = []
        for importer, name, line in _from_outside(graph):
            mine = {(room, one) for room, one in leaves if _within(importer, room) and _within(name, one)}
            used |= mine
            if not mine:
                strange.append(f"{importer} -> {name} (l.{line})")
        idle = sorted(f"{room}: {name}" for room, name in leaves - used)
        return ContractCheck(kept=not strange and not idle, metadata={"strange": sorted(strange), "idle": idle})

    def render_broken_contract(self, check: ContractCheck) -> None:
        """Every import without leave, every leave without import."""
        for one in check.metadata["strange"]:
            output.print_error(f"not given, see `known` in pyproject.toml: {one}", bold=False)
        for one in check.metadata["idle"]:
            output.print_error(f"given and not used by anything: {one}", bold=False)

    def _leaves(self) -> Iterator[Leave]:
        for row in self.known:
            room, _, names = row.partition(": ")
            yield from ((room, name) for name in names.split(", "))


def _from_outside(graph: ImportGraph) -> Iterator[tuple[str, str, int]]:
    """Importer, what it imports as it is written, line."""
    outside = {name for name in graph.modules if graph.is_module_squashed(name)}
    for root in outside:
        for importer in graph.find_modules_that_directly_import(root):
            for one in graph.get_import_details(importer=importer, imported=root):
                for name in _written(one["line_contents"], root):
                    yield importer, name, one["line_number"]
