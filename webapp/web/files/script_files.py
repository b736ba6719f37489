"""Scripts joined into few files: a phone that starts the kitchen from cold reads three, not ninety, a page has one.

There is no build step: they are joined when they are first asked for. Each script stays a function of its own that runs
once, before those that import it, and hands out what it exports, under its own name where no other script hands out
one of that name: so nothing is renamed, and what is its own stays inside. Where nobody else has a name for what it
declares it stands in the file as it is, which is shorter. Understood are the forms that the scripts use (named imports
and exports, `import("...")`); any other is refused by name.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

_FROM = r"""\s*\{([^}]*)\}\s*from\s*["'](\.{1,2}/[^"']+\.js)["'];?"""
_IMPORT = re.compile(r"^import" + _FROM, re.MULTILINE)
_HANDED_ON = re.compile(r"^export" + _FROM, re.MULTILINE)
_EXPORTED = re.compile(r"^export\s*\{([^}]*)\};?", re.MULTILINE)
_DECLARED = re.compile(r"^export ((?:async function|function|const|class) (\w+))", re.MULTILINE)
# What is declared outside of any function, in a text as it was written: it stands at the beginning of a line.
_AT_TOP = re.compile(r"^(?:export )?(?:(?:async )?function|const|let|class) (\w+|[{\[])", re.MULTILINE)
_LATER = re.compile(r"""\bimport\(\s*["'](\.{1,2}/[^"']+\.js)["']\s*\)""")
# Names that a browser has already: whoever means those must not get what another script hands out.
_BROWSER_HAS = frozenset((
    "alert", "blur", "caches", "close", "confirm", "crypto", "document", "event", "external", "fetch", "find", "focus",
    "frames", "history", "length", "location", "name", "navigator", "open", "opener", "origin", "parent", "print",
    "performance", "prompt", "screen", "scroll", "self", "status", "stop", "top", "window",
))  # fmt: skip
_LEFT = re.compile(r"^(?:export\b|import\b(?!\()).*", re.MULTILINE)


class JoinError(ValueError):
    """A script that cannot be joined: a form of import or export that is not known, or a circle."""


@dataclass(frozen=True)
class Script:
    """One script: its path, its text without comments, the paths that it imports at once and later."""

    path: str
    text: str
    at_once: tuple[str, ...]
    later: tuple[str, ...]
    declares: tuple[str, ...] | None = None  # outside of any function; None = not known


def script(path: str, text: str, written: str = "") -> Script:
    """The script of that path below static/; `written`: as its author has it, every line where it stands."""
    at_once = [*_IMPORT.finditer(text), *_HANDED_ON.finditer(text)]
    found = (_beside(path, match[2]) for match in sorted(at_once, key=lambda match: match.start()))
    declares = tuple(_AT_TOP.findall(written)) if written else None
    return Script(path, text, tuple(found), tuple(_beside(path, name) for name in _LATER.findall(text)), declares)


def in_order(scripts: Mapping[str, Script], entries: Iterable[str], known: Iterable[str] = ()) -> list[str]:
    """The entries and all that they import at once, each after what it imports, without what is `known` already.

    Raises `JoinError` where two scripts import each other.
    """
    done, begun = set(known), set[str]()
    out: list[str] = []

    def visit(path: str) -> None:
        if path in begun:
            raise JoinError(f"{path} imports itself, round other scripts")
        if path not in done:
            begun.add(path)
            for other in scripts[path].at_once:
                visit(other)
            begun.remove(path)
            done.add(path)
            out.append(path)

    for entry in entries:
        visit(entry)
    return out


def join(scripts: Mapping[str, Script], files: Mapping[str, list[str]]) -> dict[str, str]:
    """The text of each file, given the paths of the scripts in it; files import from those named before them."""
    homes = {path: name for name, paths in files.items() for path in paths}
    apart = _apart(scripts, homes)
    house = _House(homes, {path: f"${n}" for n, path in enumerate(homes)}, apart, _open(scripts, homes, apart))
    later = {other for one in scripts.values() for other in one.later}
    asked = [
        (homes[one.path], other, old) for one in scripts.values() if one.path in homes for other, old in _asked(one)
    ]
    out = {}
    for name, paths in files.items():
        lines = []
        wanted = [(other, old) for asking, other, old in asked if asking == name and homes[other] != name]
        for home in dict.fromkeys(homes[other] for other, _ in wanted):
            there = dict.fromkeys(house.called(other, old) for other, old in wanted if homes[other] == home)
            lines.append(f'import {{{",".join(sorted(there))}}} from "{_way(name, home)}";')
        lines += [_as_function(scripts[path], name, house) for path in paths]
        given = [house.called(other, old) for asking, other, old in asked if homes[other] == name != asking]
        given += [house.names[path] for path in paths if path in later]
        text = "\n".join(lines)
        # In the order in which they stand there: what repeats itself is packed smaller.
        out[name] = f"{text}\nexport {{{','.join(sorted(dict.fromkeys(given), key=text.find))}}};\n"
    return out


@dataclass(frozen=True)
class _House:
    """Where each script is, the name of all that it hands out together, and the scripts that need that name."""

    homes: Mapping[str, str]
    names: Mapping[str, str]
    apart: frozenset[str]
    open: frozenset[str]  # those that need no function around them

    def called(self, path: str, name: str) -> str:
        """What others ask for when they want this of that script."""
        return self.names[path] if path in self.apart else name


def _apart(scripts: Mapping[str, Script], paths: Iterable[str]) -> frozenset[str]:
    """Those that hand out a name which another one or a browser has too, or is not theirs, or that are asked later."""
    given = {path: _DECLARED.findall(scripts[path].text) for path in paths}
    count = Counter(name for names in given.values() for _, name in names)
    later = {other for one in scripts.values() for other in one.later}
    handing_on = {
        path for path in given if _HANDED_ON.search(scripts[path].text) or _EXPORTED.search(scripts[path].text)
    }
    taken = {path for path, names in given.items() if any(count[name] > 1 or name in _BROWSER_HAS for _, name in names)}
    return frozenset(taken | handing_on | (later & given.keys()))


def _open(scripts: Mapping[str, Script], paths: Iterable[str], apart: frozenset[str]) -> frozenset[str]:
    """Those whose every name is theirs alone, and who call all that they ask for by its own name."""
    taken = {*_BROWSER_HAS, *(name for path in paths for _, name in _DECLARED.findall(scripts[path].text))}
    out = set()
    for path in paths:
        one = scripts[path]
        asks = [*_IMPORT.finditer(one.text), *_HANDED_ON.finditer(one.text)]
        as_it_is = all(old == new for found in asks for old, new in _names(found[1]))
        if one.declares is None or path in apart or not apart.isdisjoint(one.at_once) or not as_it_is:
            continue
        own = {name for name in one.declares if name not in {given for _, given in _DECLARED.findall(one.text)}}
        if own.isdisjoint(taken) and own.isdisjoint("{["):
            taken |= own
            out.add(path)
    return frozenset(out)


def _asked(one: Script) -> Iterator[tuple[str, str]]:
    """What it asks of other scripts at once: the path of each, and the name there."""
    for match in (*_IMPORT.finditer(one.text), *_HANDED_ON.finditer(one.text)):
        yield from ((_beside(one.path, match[2]), old) for old, _ in _names(match[1]))


def in_one(scripts: Mapping[str, Script], entries: Iterable[str], name: str) -> str:
    """The text of one file with these scripts and all that they import; what is imported later runs behind them."""
    paths = in_order(scripts, entries)
    while later := [other for path in paths for other in scripts[path].later if other not in paths]:
        paths += in_order(scripts, later, paths)
    return join({path: scripts[path] for path in paths}, {name: paths})[name]


def _as_function(one: Script, file: str, house: _House) -> str:
    out: list[str] = []  # what it hands out, as properties of one object

    def declared(match: re.Match[str]) -> str:
        out.append(match[2])
        return match[1]

    def exported(match: re.Match[str]) -> str:
        out.extend(f"{new}:{old}" for old, new in _names(match[1]))
        return ""

    def handed_on(match: re.Match[str]) -> str:
        path = _beside(one.path, match[2])
        here = f"{house.names[path]}." if path in house.apart else ""
        out.extend(f"{new}:{here}{old}" for old, new in _names(match[1]))
        return ""

    def imported(match: re.Match[str]) -> str:
        path = _beside(one.path, match[2])
        if path not in house.apart:
            return "".join(f"const {new}={old};" for old, new in _names(match[1]) if old != new)
        names = ",".join(old if old == new else f"{old}:{new}" for old, new in _names(match[1]))
        return f"const{{{names}}}={house.names[path]};"

    def later(match: re.Match[str]) -> str:
        path = _beside(one.path, match[1])
        return f'import("{_way(file, house.homes[path])}").then((all)=>all.{house.names[path]})'

    text = _IMPORT.sub(imported, one.text)
    text = _EXPORTED.sub(exported, _HANDED_ON.sub(handed_on, text))
    text = _LATER.sub(later, _DECLARED.sub(declared, text))
    if left := _LEFT.search(text):
        raise JoinError(f"{one.path}: {left[0]!r} is no form of import or export that can be joined")
    if one.path in house.open:
        return text
    if one.path in house.apart:
        return f"const {house.names[one.path]}=(()=>{{\n{text}return {{{','.join(out)}}}}})();"
    if len(out) == 1:
        return f"const {out[0]}=(()=>{{\n{text}return {out[0]}}})();"
    given = f"{{{','.join(out)}}}"
    return f"const{given}=(()=>{{\n{text}return {given}}})();" if out else f"(()=>{{\n{text}}})();"


def _names(listed: str) -> list[tuple[str, str]]:
    """`a, b as c`: each by the name it had and the one it gets."""
    parts = [part.split(" as ") for part in (one.strip() for one in listed.split(",")) if part]
    return [(part[0].strip(), part[-1].strip()) for part in parts]


def _beside(path: str, name: str) -> str:
    """What a script calls `name`, as a path below static/."""
    out: list[str] = []
    for part in (PurePosixPath(path).parent / name).parts:
        if part == "..":
            out.pop()
        elif part != ".":
            out.append(part)
    return "/".join(out)


def _way(file: str, other: str) -> str:
    """From one joined file to another: they lie in one folder."""
    if PurePosixPath(file).parent != PurePosixPath(other).parent:
        raise JoinError(f"{file} and {other} lie in two folders")
    return f"./{PurePosixPath(other).name}"
