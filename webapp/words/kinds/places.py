"""Where the dough is, and where it is carried."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import Place, RestingPlace


def place_word(place: Place) -> str:
    """Where it stands: "on the bench"; "" when it is nowhere in particular."""
    match place:
        case "bench":
            return "on the bench"
        case "fridge":
            return "in the fridge"
        case "warm":
            return "in the warm spot"
        case "oven":
            return "in the oven"
        case "none":
            return ""
        case _:
            assert_never(place)


def carry_word(place: RestingPlace) -> str:
    """Where it is to be carried: "covered into the fridge"."""
    match place:
        case "bench":
            return "onto the bench"
        case "fridge":
            return "covered into the fridge"
        case "warm":
            return "covered into the warm spot"
        case _:
            assert_never(place)
