"""A page's forms as a browser has them: what it would send for each untouched, and what is wrong with it now."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

CHOSEN = ("radio", "checkbox")
UNTYPED = {"hidden", "submit", "button", "password", "file"}  # nothing a person has typed that comes back


@dataclass
class Control:
    """One input, select or textarea; `options` of a select or a group of radios."""

    name: str
    kind: str
    values: list[str] = field(default_factory=list)  # what would be sent
    options: list[str] = field(default_factory=list)
    hint: str = ""  # inputmode and placeholder
    wrong: bool = False


@dataclass
class Form:
    """`buttons`: name and value of each that sends it."""

    action: str
    method: str
    files: bool
    controls: dict[str, Control] = field(default_factory=dict)
    buttons: list[tuple[str, str]] = field(default_factory=list)

    def sent(self) -> dict[str, list[str]]:
        """What a browser sends for it untouched, but for its button."""
        return {one.name: list(one.values) for one in self.controls.values() if one.kind != "file"}

    def asks(self) -> bool:
        """Whether anything can be typed or chosen in it."""
        return any(one.kind not in ("hidden", "submit") for one in self.controls.values())


class Page(HTMLParser):
    """`forms`, `links`, and `wrong`: the words of every mistake that the page shows, by its field or ""."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[Form] = []
        self.links: list[str] = []
        self.wrong: list[tuple[str, str]] = []
        self._form: Form | None = None
        self._select: Control | None = None
        self._area: Control | None = None
        self._mistake: str | None = None
        self._in_list = 0
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        had = {name: value or "" for name, value in attributes}
        if tag == "a" and had.get("href", "").startswith("/"):
            self.links.append(had["href"].split("#")[0])
        elif tag == "form":
            files = had.get("enctype") == "multipart/form-data"
            self._form = Form(had.get("action", "").split("#")[0], had.get("method", "get").lower(), files)
            self.forms.append(self._form)
        elif tag in ("input", "button", "select", "textarea") and self._form is not None:
            self._control(self._form, tag, had)
        elif tag == "option" and self._select is not None:
            self._select.options.append(had.get("value", ""))
            if "selected" in had:
                self._select.values = [had.get("value", "")]
        self._look_for_mistakes(tag, had)

    def _control(self, form: Form, tag: str, had: dict[str, str]) -> None:
        name, kind = had.get("name", ""), had.get("type", tag) if tag != "select" else "select"
        if tag == "button" or kind == "submit":
            form.buttons.append((name, had.get("value", "")))
            return
        if not name or "disabled" in had:
            return
        control = form.controls.setdefault(name, Control(name, kind))
        control.hint = f"{had.get('inputmode', '')} {had.get('placeholder', '')} {control.hint}".strip()
        control.wrong = control.wrong or had.get("aria-invalid") == "true"
        if kind in CHOSEN:
            control.options.append(had.get("value", "on"))
            control.values += [had.get("value", "on")] if "checked" in had else []
        elif tag == "select":
            self._select = control
        elif tag == "textarea":
            self._area = control
            control.values = [""]
        else:
            control.values = [had.get("value", "")]

    def _look_for_mistakes(self, tag: str, had: dict[str, str]) -> None:
        if had.get("id") == "mistakes":
            self._in_list = 1
        elif had.get("role") == "alert":
            self._in_list = 1
            self.wrong.append(("", ""))
        elif self._in_list and tag == "li":
            self.wrong.append(("", ""))
        elif self._in_list and tag == "a" and self.wrong:
            self.wrong[-1] = (had.get("href", "").lstrip("#"), self.wrong[-1][1])
        elif tag == "p" and "field__error" in had.get("class", ""):
            self._mistake = had.get("id", "").rpartition("-error")[0]
            self.wrong.append((self._mistake, ""))

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.values[0] += data
        elif (self._mistake is not None or self._in_list) and self.wrong:
            where, said = self.wrong[-1]
            self.wrong[-1] = (where, said + data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "select" and self._select is not None:
            if not self._select.values and self._select.options:
                self._select.values = self._select.options[:1]
            self._select = None
        elif tag == "textarea" and self._area is not None:
            text = self._area.values[0].replace("\r\n", "\n")
            self._area.values = [text.removeprefix("\n")]
            self._area = None
        elif tag == "p":
            self._mistake = None
        elif tag == "div":
            self._in_list = 0
