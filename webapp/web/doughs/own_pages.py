"""Writing down something of one's own, changing it, putting it away: the same pages for formulas, methods and toppings.

A family says what its form holds and how it is read; what is kept, and which page follows, is said here, once.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from typing import Any, ClassVar, Generic, Protocol, TypeVar

from flask import Blueprint, flash, make_response, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.doughs import own as own_things
from webapp.kitchens.access import Home
from webapp.store.ids import NotHere
from webapp.web import forms
from webapp.web.door import enter, must_have, visit, world
from webapp.words.pages import larder as words

_MOST_COPIED = 50  # letters of a name that a copy begins with


class Named(Protocol):
    """A formula, a method, a set of toppings."""

    @property
    def name(self) -> str: ...


T = TypeVar("T", bound=Named)


class OwnPages(ABC, Generic[T]):
    """The pages of one kind. `home` is the endpoint of the page that shows it."""

    kind: own_things.Kind[T]
    home: ClassVar[str]
    put_away_said: ClassVar[str] = words.PUT_AWAY

    def routes(self, bp: Blueprint) -> None:
        """Add them to the family's blueprint."""
        bp.add_url_rule("/new", "new", self.new)
        bp.add_url_rule("", "save_new", self.save_new, methods=["POST"])
        bp.add_url_rule("/<key>/edit", "edit", self.edit)
        bp.add_url_rule("/<key>/edit", "save", self.save, methods=["POST"])
        bp.add_url_rule("/<key>/put-away", "put_away", self.put_away, methods=["POST"])

    # -- what a family says of itself

    @abstractmethod
    def shipped(self) -> Mapping[str, T]:
        """Those of the house, by key."""

    @abstractmethod
    def blank(self, inside: Home) -> dict[str, str]:
        """What an empty sheet has typed in already."""

    @abstractmethod
    def typed(self, inside: Home, thing: T) -> dict[str, str]:
        """What the form shows of one."""

    @abstractmethod
    def form(self, inside: Home, chosen: T | None, typed: dict[str, str]) -> Any:
        """The form: what was posted, else what is typed in."""

    @abstractmethod
    def sheet(self, inside: Home, form: Any, key: str) -> str:
        """The page with the form; `key` "" for a new one."""

    @abstractmethod
    def read(self, inside: Home, form: Any, key: str) -> T:
        """What was typed; PlanError with every mistake, each at its field."""

    def saved(self, key: str, thing: T) -> tuple[str, str]:
        """What is said when it is kept, and where to go from there."""
        del key, thing
        return words.LARDER_SAVED, url_for(self.home)

    def changed_rows(self, inside: Home, key: str) -> str | None:
        """The sheet again when a button asked for another row and nothing is to be kept yet."""
        del inside, key
        return None

    # -- the pages

    def of(self, inside: Home) -> dict[str, T]:
        """This kitchen's own ones, by key."""
        return own_things.own(world().store, inside.kitchen_id, self.kind)

    def unreadable(self, inside: Home) -> tuple[str, ...]:
        """Names of those that this program cannot read."""
        return own_things.unreadable(world().store, inside.kitchen_id, self.kind)

    def versions(self, inside: Home, key: str) -> tuple[own_things.Version[T], ...]:
        """Every version of an own one, the newest first."""
        return own_things.versions(world().store, inside.kitchen_id, self.kind, key)

    def one(self, inside: Home, key: str) -> T:
        """An own one or one of the house."""
        every = self.of(inside) | dict(self.shipped())
        if key not in every:
            raise NotHere(key)
        return every[key]

    def new(self) -> str:
        """An empty sheet, or a copy of the one named by `from`."""
        inside = visit()
        source = request.args.get("from", "")
        if not source:
            return self.sheet(inside, self.form(inside, None, self.blank(inside)), "")
        chosen = self.one(inside, source)
        typed = self.typed(inside, chosen) | {"name": f"{chosen.name[:_MOST_COPIED]}, ours"}
        return self.sheet(inside, self.form(inside, chosen, typed), "")

    def save_new(self) -> AnyResponse:
        """Write down a new one."""
        return self._save(enter(), "")

    def edit(self, key: str) -> str:
        """Change an own one; its versions are kept."""
        inside = must_have()
        chosen = self._own(inside, key)
        return self.sheet(inside, self.form(inside, chosen, self.typed(inside, chosen)), key)

    def save(self, key: str) -> AnyResponse:
        """Save a new version."""
        inside = must_have()
        self._own(inside, key)
        return self._save(inside, key)

    def put_away(self, key: str) -> AnyResponse:
        """Put an own one away."""
        own_things.put_away(world().store, must_have().kitchen_id, self.kind, key)
        flash(self.put_away_said, "good")
        return redirect(url_for(self.home), 303)

    def _own(self, inside: Home, key: str) -> T:
        return own_things.own_one(world().store, inside.kitchen_id, self.kind, key)

    def _save(self, inside: Home, key: str) -> AnyResponse:
        here = world()
        again = self.changed_rows(inside, key)
        if again is not None:
            return make_response(again)
        form = self.form(inside, None, {})
        try:
            read = self.read(inside, form, key)
            kept = own_things.save(here.store, here.now(), here.new_id, inside.kitchen_id, self.kind, read, key)
        except PlanError as error:
            forms.show(form, error.problems)
            return make_response(self.sheet(inside, form, key), 422)
        said, to = self.saved(kept, read)
        flash(said, "good")
        return redirect(to, 303)
