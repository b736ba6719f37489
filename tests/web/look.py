"""Reads a page as a machine sees it: what is labelled, named and balanced; and the colours of a style sheet."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
# SVG shapes that are written self-closing.
LABELLED = {"input", "select", "textarea"}


@dataclass
class Node:
    """An element with its attributes, the elements around it, and the text inside."""

    tag: str
    attrs: dict[str, str]
    around: tuple[Node, ...] = field(repr=False)
    text: str = field(default="", repr=False)


@dataclass
class Page(HTMLParser):
    """A parsed page; `wrong` lists tags that close nothing or are never closed."""

    nodes: list[Node] = field(default_factory=list, repr=False)
    wrong: list[str] = field(default_factory=list)
    _open: list[Node] = field(default_factory=list, repr=False)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs}, tuple(self._open))
        self.nodes.append(node)
        if tag not in VOID:
            self._open.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.nodes.append(Node(tag, {name: value or "" for name, value in attrs}, tuple(self._open)))

    def handle_endtag(self, tag: str) -> None:
        if self._open and self._open[-1].tag == tag:
            self._open.pop()
        else:
            self.wrong.append(f"</{tag}> inside <{self._open[-1].tag if self._open else 'nothing'}>")

    def handle_data(self, data: str) -> None:
        for node in self._open:
            node.text += data

    def close(self) -> None:
        super().close()
        self.wrong += [f"<{node.tag}> never closed" for node in self._open]

    def all(self, *tags: str) -> list[Node]:
        """Every element of these kinds."""
        return [node for node in self.nodes if node.tag in tags]

    def ids(self) -> list[str]:
        """Every id, in order."""
        return [node.attrs["id"] for node in self.nodes if "id" in node.attrs]

    def unlabelled(self) -> list[str]:
        """Fields of forms that no label, name or description belongs to."""
        told = {node.attrs.get("for") for node in self.all("label")}
        return [
            node.attrs.get("name", "?")
            for node in self.all(*LABELLED)
            if node.attrs.get("type") not in ("hidden", "submit")
            and node.attrs.get("id") not in told
            and not any(outer.tag == "label" for outer in node.around)
            and not node.attrs.get("aria-label")
            and not node.attrs.get("aria-labelledby")
        ]

    def nameless(self) -> list[str]:
        """Links and buttons that say nothing."""
        return [
            f"<{node.tag} {node.attrs}>"
            for node in self.all("a", "button")
            if not node.text.strip() and not node.attrs.get("aria-label")
        ]


def read(html: str) -> Page:
    """The page, parsed."""
    page = Page()
    page.feed(html)
    page.close()
    return page


def tokens(css: str) -> tuple[dict[str, str], dict[str, str]]:
    """The colours of :root by day, and by night (the day's with the night's over them)."""
    blocks = re.findall(r":root\s*\{(.*?)\n\s*\}", css, re.S)
    day, night = (dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6}|rgb\([^)]*\))\s*;", block)) for block in blocks[:2])
    return day, day | night


def rgb(colour: str, under: str = "#ffffff") -> tuple[float, ...]:
    """Red, green, blue from 0 to 255; a see-through colour is laid over `under`."""
    if colour.startswith("#"):
        return tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))
    numbers = [float(n) for n in re.findall(r"[\d.]+", colour)]
    share = numbers[3] if len(numbers) > 3 else 1.0
    return tuple(share * top + (1 - share) * low for top, low in zip(numbers[:3], rgb(under), strict=True))


def contrast(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """Contrast ratio, 1 to 21 (WCAG 2.2, definitions of contrast ratio and of relative luminance)."""
    bright, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _luminance(colour: tuple[float, ...]) -> float:
    red, green, blue = (c / 255 / 12.92 if c / 255 <= 0.04045 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
