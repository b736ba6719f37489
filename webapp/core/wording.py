"""What a step says, in full sentences: templates of tables/steps.toml filled with a plan's own numbers.

A template is a list of sentences with {slots}. A sentence with an empty slot is left out, so that one template serves
every bake: no preferment, no sentence about it. Texts are plain (no markup), because calendars and paper show them too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from string import Formatter

from webapp.core.errors import PlanError
from webapp.core.kinds import MassUnit, Place
from webapp.core.plan import OvenAction, Topping, WeighLine
from webapp.core.units import mass_text

PLACE_WORDS: dict[Place, str] = {
    "bench": "on the bench",
    "fridge": "in the fridge",
    "warm": "in the warm spot",
    "oven": "in the oven",
    "none": "",
}


@dataclass(frozen=True)
class Template:
    """What one kind of step says."""

    kind: str
    title: str
    sentences: tuple[str, ...]


def template_from_dict(kind: str, row: Mapping[str, object]) -> Template:
    """A template from a table of tables/steps.toml; PlanError when it has no title or sentences."""
    title, sentences = row.get("title"), row.get("text")
    if not isinstance(title, str) or not isinstance(sentences, list):
        raise PlanError.at(kind, "A kind of step needs a title and a list of sentences.")
    return Template(kind, title, tuple(str(one) for one in sentences))


def slots_of(sentence: str) -> tuple[str, ...]:
    """Names of the slots in a sentence, in order."""
    return tuple(name for _, name, _, _ in Formatter().parse(sentence) if name)


def say(template: Template, slots: Mapping[str, str]) -> str:
    """The template's sentences whose slots are all filled, each on a line of its own."""
    spoken = []
    for sentence in template.sentences:
        wanted = {name: slots.get(name, "") for name in slots_of(sentence)}
        if all(wanted.values()):
            spoken.append(sentence.format(**wanted))
    return "\n".join(spoken)


def joined(parts: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    items = [part for part in parts if part]
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def mass_of_line(line: WeighLine, unit: MassUnit = "g") -> str:
    """ "336 g water": the weighed amount and the name in running text."""
    return f"{mass_text(line.weigh_g, unit)} {line.name[:1].lower()}{line.name[1:]}"


def pour_list(lines: Sequence[WeighLine], unit: MassUnit = "g") -> str:
    """All lines in pouring order as one phrase."""
    return joined(mass_of_line(line, unit) for line in lines)


def duration_words(seconds: int) -> str:
    """ "25 minutes", "1 hour", "9 hours 15 minutes": rounded to the minute."""
    minutes = (seconds + 30) // 60
    hours, rest = divmod(minutes, 60)
    parts = []
    if hours:
        parts.append(f"{hours} hour{'s' if hours != 1 else ''}")
    if rest or not hours:
        parts.append(f"{rest} minute{'s' if rest != 1 else ''}")
    return " ".join(parts)


def place_words(place: Place, seconds: int) -> str:
    """ "about 9 hours 15 minutes on the bench"; empty when the dough is nowhere in particular or does not wait."""
    where = PLACE_WORDS[place]
    return f"about {duration_words(seconds)} {where}" if where and seconds >= 60 else ""


def topping_words(
    toppings: Sequence[Topping], when: str, unit: MassUnit = "g", notes: Mapping[str, str] | None = None
) -> str:
    """ "216 g tomato sauce: thin, to the edge." in the order they go on, a line each; empty when there are none.

    `notes` by key say what is done with it by then, where that is less than the topping's own note.
    """
    said = []
    for topping in toppings:
        if topping.when == when:
            note = (topping.note if notes is None else notes.get(topping.key, "")).rstrip(".")
            name = f"{topping.name[:1].lower()}{topping.name[1:]}"
            said.append(f"{mass_text(topping.grams, unit)} {name}{': ' if note else ''}{note}.")
    return "\n".join(said)


def action_words(programme: Sequence[OvenAction], action: str) -> str:
    """The programme's own sentence for an action; "" when the programme has none."""
    return next((one.text for one in programme if one.action == action), "")
