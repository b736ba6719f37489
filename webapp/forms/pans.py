"""Pans as they are typed: one of another size for today, and the pans of a kitchen."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from webapp.core.kinds import PAN_MEASURES, PAN_SHAPES, PanMeasure, PanShape
from webapp.core.kitchen import Kitchen
from webapp.core.plan.tray import Pan
from webapp.core.ranges import MOST_IN_A_BAKE
from webapp.core.scale import pans
from webapp.data import doughs
from webapp.forms.in_units import length_text, mass_text, read_length, read_mass
from webapp.forms.typed import Answers, key_word
from webapp.words.kinds.pans import pan_word, shape_word
from webapp.words.problems import fields
from webapp.words.problems import typed as words

MOST_PANS = 12  # of a kitchen
_TYPED_OF_A_PAN = ("name", "shape", *PAN_MEASURES)


def read_pan(
    answers: Answers, kitchen: Kitchen, prefix: str, key: str, name: str = "", *, empty: PanShape | None = None
) -> list[Pan]:
    """One pan from the fields PREFIXshape, length, width, water_g, count; a list of one, or none when it is wrong.

    `empty`: the shape where none was chosen, for a pan of today, which everywhere is told with its size; without it
    that is an error.
    """
    before = len(answers.problems)
    shape = answers.choice(f"{prefix}shape", PAN_SHAPES, empty=empty, what=fields.SHAPE)
    if len(answers.problems) > before:
        return []  # which sizes it has, the shape says
    sizes = {one: _read_measure(answers, f"{prefix}{one}", one, kitchen) for one in pans.SHAPES[shape].measures}
    if empty is not None and answers.text(f"{prefix}was") in ("", shape):  # with another shape what stood there goes
        _nothing_else(answers, prefix, shape)
    count = answers.whole(f"{prefix}count", 1, MOST_IN_A_BAKE, empty=1)
    if len(answers.problems) > before:
        return []
    length, width, water_g = (sizes.get(one, 0.0) for one in PAN_MEASURES)
    made = pans.pan(key, name, shape, length, width, count, water_g)
    return [
        made if name else replace(made, name=pan_name(made, kitchen), called=pan_word(shape) if empty is None else "")
    ]


def _nothing_else(answers: Answers, prefix: str, shape: PanShape) -> None:
    """What was typed of a pan and is no measure of its shape is told of, not dropped: a round pan has one size."""
    measures = pans.SHAPES[shape].measures
    for one in PAN_MEASURES:
        said = answers.text(f"{prefix}{one}")
        if one not in measures and said and said != answers.text(f"{prefix}{measures[0]}"):
            answers.wrong(f"{prefix}{one}", *words.no_measure(shape_word(shape).lower(), one))


def _read_measure(answers: Answers, field: str, measure: PanMeasure, kitchen: Kitchen) -> float:
    if measure == "water_g":
        return float(round(read_mass(answers, field, kitchen, 50, 10_000, what=fields.WATER)))
    return read_length(answers, field, kitchen)


def typed_pan(pan: Pan, kitchen: Kitchen, prefix: str) -> dict[str, str]:
    """What `read_pan` reads but for the count; what is not measured of its shape stays empty."""
    sizes = measure_texts(pan, kitchen)
    return {f"{prefix}shape": pan.shape} | {f"{prefix}{one}": sizes.get(one, "") for one in PAN_MEASURES}


def pan_name(pan: Pan, kitchen: Kitchen) -> str:
    """A plain name for a pan without one: "Round pan 28 cm"."""
    return f"{pan_word(pan.shape)} {pan_size(pan, kitchen)}".rstrip()


def pan_size(pan: Pan, kitchen: Kitchen) -> str:
    """Its measures as they are typed in this kitchen: "38 x 28 cm", "28 cm"; "" when only its water was weighed."""
    sizes = [text for measure, text in measure_texts(pan, kitchen).items() if measure != "water_g"]
    unit = "in" if kitchen.mass_unit == "oz" else "cm"
    return f"{' x '.join(sizes)} {unit}" if sizes else ""


def measure_texts(pan: Pan, kitchen: Kitchen) -> dict[PanMeasure, str]:
    """What was measured of a pan, as it is typed in this kitchen, in the order of its shape."""
    return {
        measure: mass_text(size, kitchen) if measure == "water_g" else length_text(size, kitchen)
        for measure, size in zip(pans.SHAPES[pan.shape].measures, pans.measures_of(pan), strict=True)
    }


def typed_pans(kitchen: Kitchen) -> dict[str, str]:
    """One row for each pan: name, shape, size."""
    typed: dict[str, str] = {}
    for place, pan in enumerate(kitchen.pans):
        typed |= {f"{place}-name": pan.name} | typed_pan(pan, kitchen, f"{place}-")
    return typed


def read_pans(answers: Answers, kitchen: Kitchen) -> Kitchen:
    """All pans anew. A row ticked as gone, or wholly empty, is no pan; one keeps its key by its place.

    A new one that goes by the name of a common pan (`data/tables/pans.toml`), with no shape and no size, has its size.
    """
    read: list[Pan] = []
    keys = [pan.key for pan in kitchen.pans]
    for place in range(min(len(keys) + 1, MOST_PANS)):
        if answers.yes(f"{place}-gone"):
            continue
        name = answers.text(f"{place}-name") and answers.name(f"{place}-name")
        key = keys[place] if place < len(keys) else _new_key(name, {*keys, "other"})
        common = [] if place < len(keys) else _common(answers, place, name)
        read += [replace(pan, key=key) for pan in common]
        if not common and (place < len(keys) or answers.any_of(*(f"{place}-{one}" for one in _TYPED_OF_A_PAN))):
            pans_here = read_pan(answers, kitchen, f"{place}-", key, name)
            read += [replace(pan, called=pan.called or _called(name, kitchen.pans)) for pan in pans_here]
    if not read and not answers.problems:
        answers.wrong("0-gone", *words.LAST_PAN)
    answers.done()
    return replace(kitchen, pans=tuple(replace(pan, count=1) for pan in read))


def _common(answers: Answers, place: int, name: str) -> list[Pan]:
    """The common pan of that name, where nothing but the name was typed."""
    if answers.any_of(*(f"{place}-{one}" for one in ("shape", *PAN_MEASURES))):
        return []
    return [pan for pan in doughs.pans() if pan.name == name]


def _called(name: str, known: Iterable[Pan]) -> str:
    """What a pan is called less its size, as long as it goes by the name that it came with."""
    return next((pan.called for pan in (*known, *doughs.pans()) if pan.name == name), "")


def _new_key(name: str, taken: set[str]) -> str:
    word = key_word(name, 30) or "pan"
    return next(key for key in (word, *(f"{word}-{i}" for i in range(2, 99))) if key not in taken)
