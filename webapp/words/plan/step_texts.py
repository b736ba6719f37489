"""The sentences of the steps: templates of data/tables/steps.toml, lists of sentences with {slots}.

One with an empty slot is left out, so that one template serves every bake: no preferment, no sentence about it. Texts
are plain (no markup), because calendars and paper show them too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from string import Formatter

from webapp.core.kinds import STEP_KINDS, StepKind
from webapp.data.read import table


@dataclass(frozen=True)
class Template:
    """What one kind of step says."""

    kind: StepKind
    title: str
    done: str  # on the button of the kitchen screen
    sentences: tuple[str, ...]


@cache
def step_texts() -> dict[StepKind, Template]:
    """What each kind of step says, by kind."""
    return {kind: template_from_dict(kind, table("steps")[kind]) for kind in STEP_KINDS}


def template_from_dict(kind: StepKind, row: Mapping[str, object]) -> Template:
    """A template from a table of data/tables/steps.toml; ValueError when one of its three is missing."""
    title, done, sentences = row.get("title"), row.get("done"), row.get("text")
    if not isinstance(title, str) or not isinstance(done, str) or not isinstance(sentences, list):
        raise ValueError(f"step {kind} needs a title, a word for done and a list of sentences")
    return Template(kind, title, done, tuple(str(one) for one in sentences))


@lru_cache(maxsize=512)  # the sentences of the shipped table, each asked of at every step of its kind
def slots_of(sentence: str) -> tuple[str, ...]:
    """Names of the slots in a sentence, in order."""
    return tuple(name for _, name, _, _ in Formatter().parse(sentence) if name)


def sentences(template: Template, slots: Mapping[str, str], without: Iterable[str] = ()) -> list[str]:
    """The template's sentences whose slots are all filled; those with a slot of `without` are left out too."""
    listed, spoken = set(without), []
    for sentence in template.sentences:
        wanted = {name: slots.get(name, "") for name in slots_of(sentence)}
        if all(wanted.values()) and not listed & wanted.keys():
            spoken.append(sentence.format(**wanted))
    return spoken


def say(template: Template, slots: Mapping[str, str], without: Iterable[str] = ()) -> str:
    """The same, each on a line of its own."""
    return "\n".join(sentences(template, slots, without))
