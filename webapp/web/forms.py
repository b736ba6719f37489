"""The forms: fields, labels and tokens. What is typed is read in plain modules; mistakes come back to their fields.

Fields hold text and keep it as typed, whatever is wrong with it. Forms whose fields depend on the kitchen (its pans,
its people) are made by a function.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from flask import flash, request
from flask_wtf import FlaskForm  # type: ignore[import-untyped]  # ships no types
from wtforms import (  # type: ignore[import-untyped]  # ships no types
    BooleanField,
    FileField,
    HiddenField,
    PasswordField,
    RadioField,
    SelectChoice,
    SelectField,
    StringField,
    TextAreaField,
    widgets,
)

from webapp.core.errors import PlanError, Problem
from webapp.forms.typed import Answers
from webapp.words.problems.told import all_in_words

MORE = {"inputmode": "decimal", "autocomplete": "off", "class": "short", "size": "6"}
COUNT = {"inputmode": "numeric", "autocomplete": "off", "class": "short", "size": "4"}
TIME = {"inputmode": "text", "autocomplete": "off", "class": "short", "size": "6", "placeholder": "17:45"}
PLAIN = {"autocomplete": "off"}

Kind = TypeVar("Kind", bound=str)


class Press(FlaskForm):  # type: ignore[misc]  # Flask-WTF ships no types
    """A form of one button: only its token. Every other form is made of it."""

    class Meta(FlaskForm.Meta):  # type: ignore[misc]  # as above
        """Forms are filled in with typed text alone: a file or JSON sent in its place is as good as nothing."""

        def wrap_formdata(self, form: FlaskForm, formdata: Any) -> Any:
            """The text of the form when one was sent, unless the caller says None: no typed text."""
            del form
            return request.form if formdata is not None and request.method == "POST" else None


def number(label: str) -> Any:
    """A number, typed as text so that decimal commas and mistakes stay as typed."""
    return StringField(label, render_kw=MORE)


def count(label: str) -> Any:
    """A whole number."""
    return StringField(label, render_kw=COUNT)


def clock(label: str) -> Any:
    """A time of day."""
    return StringField(label, render_kw=TIME)


def text(label: str, **more: str) -> Any:
    """A line of text."""
    return StringField(label, render_kw=PLAIN | more)


def secret(label: str) -> Any:
    """A password of somewhere else: not shown, not filled in again, not offered for saving as ours."""
    return PasswordField(label, render_kw={"autocomplete": "off"})


def hidden() -> Any:
    """Something the form carries along."""
    return HiddenField()


def area(label: str, rows: int = 3) -> Any:
    """Several lines of text."""
    return TextAreaField(label, render_kw=PLAIN | {"rows": str(rows)})


def moment(label: str) -> Any:
    """A local day and time."""
    return StringField(label, widget=widgets.DateTimeLocalInput())


def date(label: str) -> Any:
    """A local day."""
    return StringField(label, widget=widgets.DateInput())


def tick(label: str) -> Any:
    """Yes or no."""
    return BooleanField(label)


def choices(kinds: Iterable[Kind], word: Callable[[Kind], str], none: str = "") -> tuple[tuple[str, str], ...]:
    """(kind, its word of words/kinds/) of each, as a form offers them; `none`: what choosing none of them is called."""
    offered = tuple((kind, word(kind)) for kind in kinds)
    return (("", none), *offered) if none else offered


def one_of(label: str, options: Iterable[tuple[str, str]]) -> Any:
    """A drop-down; an unknown value is read and complained about like any other mistake."""
    return SelectField(label, choices=_options(options), validate_choice=False)


def cards(label: str, options: Iterable[tuple[str, str]]) -> Any:
    """Radio buttons shown as cards."""
    return RadioField(label, choices=_options(options), validate_choice=False)


def file(label: str, accept: str) -> Any:
    """A file to send."""
    return FileField(label, render_kw={"accept": accept})


def form_of(fields: Mapping[str, Any], typed: Mapping[str, str] | None = None, posted: bool = True) -> FlaskForm:
    """A form with these fields: what was posted (unless meant for another form), else what `typed` fills in."""
    made = type("Form", (Press,), dict(fields))
    ticks = {name for name, field in fields.items() if field.field_class is BooleanField}
    data = {name: (value not in ("", "0") if name in ticks else value) for name, value in (typed or {}).items()}
    if posted and request.method == "POST":
        return made()  # what was not sent is empty, never yesterday's answer
    return made(formdata=None, data=data)


def answers_of(form: FlaskForm) -> Answers:
    """What is typed in the form, as text."""
    return Answers({field.short_name: _text(field) for field in form})


def show(form: FlaskForm, problems: Iterable[Problem], also: Mapping[str, str] | None = None) -> None:
    """Put each problem at its field; `also` maps other names for a field; what has no field stands on top."""
    by_name = {field.short_name: field for field in form}
    for problem in all_in_words(problems):
        said = f"{problem.message[:1].upper()}{problem.message[1:]} {problem.way_out}".strip()
        field = by_name.get((also or {}).get(problem.field, problem.field))
        if field is None:
            form.form_errors.append(said)
        else:
            field.errors = [*field.errors, said]


def flash_problems(error: PlanError) -> None:
    """Say all that is wrong above the page, each with its way out, where no field shows it."""
    said = (f"{one.message} {one.way_out}".strip() for one in all_in_words(error.problems))
    flash(" ".join(said), "careful")


def _options(options: Iterable[tuple[str, str]]) -> list[Any]:
    return [SelectChoice(value, label) for value, label in options]


def _text(field: Any) -> str:
    if isinstance(field, BooleanField):
        return "1" if field.data else ""
    return field.data if isinstance(field.data, str) else ""
