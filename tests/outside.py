"""Two kinds of contract for `lint-imports` that name what is allowed, where those of import-linter name what is not.

`outside`: what of the world outside the house each room knows, and nothing else. A library which nobody thought of, the
tests, or a corner of the standard library breaks it on the day it is imported; so does a leave that nobody uses any
more. `known` in pyproject.toml is a list of "room: name, name": a room is a package with all inside, or one module; a
dotted name allows that part alone.

`rooms`: what each room within a room knows of what lies beside it in the same package. One that is not in the list
breaks it, and so does what opens a package and imports: it would make every module in there an importer.
"""

from __future__ import annotations

import ast
import importlib.util
from collections.abc import Iterator
from pathlib import Path

from grimp import ImportGraph
from importlinter import Contract, ContractCheck, fields, output

Leave = tuple[str, str]  # room, name


def _within(name: str, whole: str) -> bool:
    return name == whole or name.startswith(f"{whole}.")


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


def _file_of(module: str) -> Path:
    """Where a module is read, in the house that lies first on the path: the one that is looked at."""
    root, *parts = module.split(".")
    spec = importlib.util.find_spec(root)
    assert spec is not None
    assert spec.origin is not None
    path = Path(spec.origin).parent.joinpath(*parts)
    return path / "__init__.py" if path.is_dir() else path.with_suffix(".py")


def _from_outside(graph: ImportGraph) -> Iterator[tuple[str, str, int]]:
    """Importer, what it imports as it is written with all its dots (grimp keeps the root alone), line.

    A package of the house as a whole is from outside too: from there any module can be reached by its attributes.
    """
    inside = {name for name in graph.modules if not graph.is_module_squashed(name)}
    packages = {name for name in inside if _opens_a_package(graph, name)}
    for importer in sorted(inside):
        root = importer.partition(".")[0]
        for node in ast.walk(ast.parse(_file_of(importer).read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import | ast.ImportFrom):
                names = _named(node, root)
                yield from (
                    (importer, name, node.lineno) for name in names if name in packages or not _within(name, root)
                )


def _named(node: ast.Import | ast.ImportFrom, root: str) -> Iterator[str]:
    """What a line gives its module: `import a.b` the whole of `a` too, `from a import b` maybe the package `a.b`."""
    for alias in node.names:
        if isinstance(node, ast.Import):
            yield alias.name
            if not alias.asname:
                yield alias.name.partition(".")[0]
        elif node.level:
            yield "." * node.level  # from here: written out, it is seen where it leads
        elif node.module:
            yield f"{node.module}.{alias.name}" if _within(node.module, root) else node.module


class RoomsContract(Contract):  # type: ignore[misc]  # ships no types
    """Each room within a room knows of what lies beside it what it was given."""

    type_name = "rooms"
    known = fields.ListField(subfield=fields.StringField())
    elsewhere = fields.ListField(subfield=fields.StringField())  # packages whose rooms have floors by another contract

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        """Kept where every room is listed and knows just what it was given, and no opener imports."""
        rows = (row.partition(": ") for row in self.known)
        given = {room: set(names.split(", ")) - {"nothing"} for room, _, names in rows}
        packages = {name for name in graph.modules if _opens_a_package(graph, name)}
        wrong = [
            f"{package} -> {name} (opens a package)"
            for package in packages
            for name in graph.find_modules_directly_imported_by(package)
        ]
        wrong += [f"{folder} (no __init__.py: what is in it is under no contract)" for folder in _unopened(graph)]
        inner = {one for one in packages if "." in one and one.rpartition(".")[0] not in self.elsewhere}
        wrong += [f"{room} (no row is about it)" for room in inner - set(given)]
        for room, names in given.items():
            beside = _beside(graph, room)
            wrong += [f"{edge} (not given)" for name, edge in beside if name not in names]
            wrong += [f"{room}: {name} (given and not used)" for name in names - {name for name, _ in beside}]
        return ContractCheck(kept=not wrong, metadata={"wrong": sorted(wrong)})

    def render_broken_contract(self, check: ContractCheck) -> None:
        """Every import without leave, every leave without import, every room without a row."""
        for one in check.metadata["wrong"]:
            output.print_error(f"see the contract on rooms within rooms in pyproject.toml: {one}", bold=False)


def _opens_a_package(graph: ImportGraph, name: str) -> bool:
    return not graph.is_module_squashed(name) and _file_of(name).name == "__init__.py"


def _unopened(graph: ImportGraph) -> list[str]:
    """Folders with Python in them that nothing opens: grimp passes them by, Python does not."""
    root = min(graph.modules - {name for name in graph.modules if graph.is_module_squashed(name)}, key=len)
    top = _file_of(root).parent
    folders = {path.parent for path in top.rglob("*.py") if not (path.parent / "__init__.py").exists()}
    return sorted(".".join((root, *folder.relative_to(top).parts)) for folder in folders)


def _beside(graph: ImportGraph, room: str) -> list[tuple[str, str]]:
    """What a room imports of its siblings: the sibling's name, the import."""
    house = f"{room.rpartition('.')[0]}."
    return [
        (name.removeprefix(house).partition(".")[0], f"{importer} -> {name}")
        for importer in sorted({room, *graph.find_descendants(room)})
        for name in sorted(graph.find_modules_directly_imported_by(importer))
        if name.startswith(house) and not _within(name, room)
    ]
