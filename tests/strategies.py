"""What tests draw from: kitchens' temperatures, doughs, formulas, scales. Ranges are those of home baking."""

from __future__ import annotations

from hypothesis import strategies as st

from webapp.core.formula.ingredients import Formula, Ingredient, Preferment
from webapp.core.kinds import YEAST_KINDS
from webapp.core.kitchen import Kitchen
from webapp.core.rise.fermentation import DoughMake, Leg


def between(low: float, high: float) -> st.SearchStrategy[float]:
    """A finite number in a range, ends included."""
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def makes() -> st.SearchStrategy[DoughMake]:
    """Doughs inside the model's range."""
    return st.builds(
        DoughMake, instant_percent=between(0.05, 2.0), salt_percent=between(0, 3.2), sugar_percent=between(0, 8),
        oil_percent=between(0, 10), hydration_percent=between(56, 110), vigour=between(0.5, 2.0),
        factor=between(1.0, 1.25),
    )  # fmt: skip


room_temps = between(3.0, 30.0)
dough_temps = between(5.0, 32.0)
taus = between(600.0, 14400.0)
increases = between(0.3, 2.5)


def legs(low_c: float = 0.0, high_c: float = 34.0) -> st.SearchStrategy[Leg]:
    """Closed stretches of up to a day."""
    return st.builds(Leg, ambient_c=between(low_c, high_c), seconds=between(0.0, 86400.0), tau_s=taus)


@st.composite
def formulas(draw: st.DrawFn, preferment: bool | None = None) -> Formula:
    """Formulas that work: one or two flours, water, salt, perhaps sugar, oil and milk, perhaps a preferment."""
    second = draw(st.sampled_from([0.0, 10.0, 40.0]))
    rows = [Ingredient("flour", "White flour", "flour", 100.0 - second, 0.0, ("gluten",))]
    if second:
        rows.append(Ingredient("wholemeal", "Wholemeal", "flour", second, 0.0, ("gluten",), 1.0))
    rows.append(Ingredient("water", "Water", "water", draw(between(55, 90))))
    rows.append(Ingredient("salt", "Salt", "salt", draw(between(1.0, 3.2))))
    for key, name, kind, most, share in (
        ("sugar", "Sugar", "sugar", 8.0, 0.0), ("oil", "Olive oil", "fat", 8.0, 0.0),
        ("milk", "Milk", "other", 20.0, 0.88),
    ):  # fmt: skip
        if draw(st.booleans()):
            rows.append(Ingredient(key, name, kind, draw(between(0.5, most)), share))
    ahead = draw(st.booleans()) if preferment is None else preferment
    return Formula(
        "drawn", "Drawn", "tray", tuple(rows), draw(preferments()) if ahead else None,
        draw(st.sampled_from(YEAST_KINDS)), draw(between(0.2, 2.0)),
    )  # fmt: skip


def preferments() -> st.SearchStrategy[Preferment]:
    """Poolish-like to stiff, small enough for every drawn formula's water and yeast."""
    return st.builds(
        Preferment, key=st.just("poolish"), name=st.just("Poolish"), style=st.just("poolish"),
        flour_percent=between(10, 40), hydration_percent=between(45, 110), yeast_percent=between(0.02, 0.4),
    )  # fmt: skip


def kitchens() -> st.SearchStrategy[Kitchen]:
    """Kitchens by their scales."""
    return st.builds(
        Kitchen, scale_step_g=st.sampled_from([0.1, 0.5, 1.0, 2.0, 5.0]),
        micro_step_g=st.sampled_from([0.0, 0.01, 0.1]), has_spoons=st.booleans(),
        mass_unit=st.sampled_from(["g", "oz"]),
    )  # fmt: skip
