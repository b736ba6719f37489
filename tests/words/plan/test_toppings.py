"""What goes on top, in words."""

from __future__ import annotations

from dataclasses import replace

from tests.samples import sample_plan
from tests.words.fresh import fresh_plan
from webapp.core.formula import toppings
from webapp.core.formula.toppings import ToppingItem, ToppingSet
from webapp.core.plan.tray import Topping
from webapp.words.plan.toppings import (
    drain_words,
    fridge_words,
    note,
    on_top,
    sauce_words,
    to_have,
    topping_words,
)
from webapp.words.spoken import spoken

SAUCE = Topping("sauce", "Tomato sauce", 303.0, "before", False, 0, remark="thin, to the edge", salt_g=3.0)
CHEESE = Topping("c", "Cheese", 240.0, "before", True, 1800, remark="torn.", undrained_g=300.0)
BASIL = Topping("b", "Basil", 8.0, "after", False, 0)


def test_a_note_says_salting_and_draining_before_what_is_done_with_it() -> None:
    assert note(SAUCE, "g") == "3 g of it is salt; thin, to the edge"
    assert note(CHEESE, "g") == "weighed drained; begin with 300 g; torn."
    assert note(BASIL, "g") == ""
    assert "10.6 oz (300 g)" in note(CHEESE, "oz")  # 300 / 28.349523 = 10.582, on a scale of 0.05


def test_toppings_are_said_by_when_they_go_on() -> None:
    said = topping_words((SAUCE, CHEESE, BASIL), "before")
    assert said.split("\n") == ["303 g tomato sauce: thin, to the edge.", "240 g cheese: torn."]
    assert topping_words((SAUCE, CHEESE, BASIL), "after") == "8 g basil."
    assert topping_words((), "before") == ""


def test_what_goes_on_top_is_told_to_the_gram() -> None:
    """Nobody weighs out tenths of a gram of basil, and a scale of 1 g does not show them."""
    assert topping_words((replace(BASIL, grams=5.32),), "after") == "5 g basil."
    assert topping_words((replace(BASIL, grams=0.3),), "after") == "1 g basil."
    assert topping_words((replace(BASIL, grams=5.32),), "after", "oz") == "0.18 oz (5 g) basil."  # 5 / 28.3495
    plan = replace(fresh_plan(), toppings=(replace(BASIL, grams=5.32),))
    assert [one.grams for one in spoken(plan).toppings] == [5.0]


def test_the_sauce_is_stirred_with_its_salt_or_only_had_ready() -> None:
    assert sauce_words((SAUCE,), "g") == "Stir 3 g of salt into 300 g of tomato sauce."
    unsalted = Topping("sauce", "Pesto", 120.0, "before", False, 0)
    assert sauce_words((unsalted,), "g") == "Have 120 g of pesto ready."
    assert sauce_words((CHEESE,), "g") == ""


def test_the_salt_of_a_sauce_is_told_in_spoons_too_where_there_are_some() -> None:
    """A level teaspoon of fine salt holds 6 g (USDA, from memory): 2.8 g is nearest to half of one, 8.5 g to one and a
    half; a scale of 1 g shows neither."""
    for grams, said in ((2.8, "2.8 g (1/2 tsp, level)"), (8.5, "8.5 g (1 1/2 tsp, level)")):
        sauce = replace(SAUCE, grams=100 + grams, salt_g=grams)
        assert sauce_words((sauce,), "g", has_spoons=True).startswith(f"Stir {said} of salt into 100 g of ")
        assert "tsp" not in sauce_words((sauce,), "g", slotted=True, has_spoons=True), (
            "of another pan it is another one"
        )


def test_what_drains_and_what_leaves_the_fridge_is_named() -> None:
    # Out of the fridge no more than 2 h (USDA FSIS): what perishes drains in it, an hour or three before the oven.
    assert drain_words((SAUCE, CHEESE)) == "Set to drain in the fridge: Cheese."
    potato = Topping("p", "Potato", 200.0, "before", False, 0, undrained_g=250.0)
    assert drain_words((potato, CHEESE)) == "Set to drain: Potato. Set to drain in the fridge: Cheese."
    assert drain_words((SAUCE,)) == ""
    items = (
        ToppingItem("a", "Ham", 0.1, fridge_out_s=900),
        ToppingItem("b", "Cheese", 0.1, fridge_out_s=1800),
        ToppingItem("c", "Curd", 0.1, fridge_out_s=1800),
    )
    said = fridge_words(toppings.scale(ToppingSet("s", "S", items), 100.0))
    assert said == "Take out of the fridge: Cheese, Curd. Take out of the fridge: Ham."


def test_what_is_bought_is_named_once_with_all_of_it() -> None:
    """By hand: 32 g of oil in the dough and 28 g in the dimples are 60 g from one bottle; of what is weighed drained
    the weight before; salt water is stirred of what every kitchen has."""
    plan = sample_plan()
    oil = replace(plan.lines[0], key="oil", name="Olive oil", kind="fat", weigh_g=32.0, grams=32.0)
    tops = (
        Topping("brine", "Salt water for the dimples", 64.0, "before", False, 0),
        Topping("oil", "Olive oil, in a thread", 28.0, "before", False, 0),
        Topping("cheese", "Fresh mozzarella, torn and drained", 150.0, "before", True, 0, undrained_g=200.0),
        Topping("rosemary", "Rosemary needles", 3.0, "before", False, 0),
        Topping("own-ham", "Ham, smoked, no nuts", 80.0, "after", True, 0),
    )  # fmt: skip
    plan = replace(plan, lines=(*(one for one in plan.lines if one.kind != "fat"), oil), toppings=tops)
    said = to_have(plan, "g")
    assert [one for one in said if "oil" in one] == ["60 g olive oil"]
    assert "200 g fresh mozzarella" in said
    assert "80 g ham, smoked, no nuts" in said, "somebody's own topping is bought as they have called it"
    assert not [one for one in said if "dimples" in one]
    assert on_top(plan, "g")[:2] == ["64 g salt water for the dimples", "28 g olive oil"], "all that lies on the tray"


def test_the_salt_of_a_sauce_is_salt_and_no_tomatoes_wherever_they_are_named() -> None:
    """By hand: 287 g of sauce with 2.84 g of salt are 284 g of tomatoes; 250 g of potato with a tenth of salt, four
    fifths of it left when drained, are 250 / 0.8 * 0.9 = 281 g from the shop."""
    sauce = Topping("sauce", "Raw crushed tomatoes", 287.0, "before", True, 0, salt_g=2.84)
    potato = Topping("potato", "Potato", 250.0, "before", False, 0, salt_g=25.0, undrained_g=312.5)
    plan = replace(sample_plan(), toppings=(sauce, potato))
    assert to_have(plan, "g")[:2] == ["284 g raw crushed tomatoes", "281 g potato"]
    assert len([one for one in to_have(plan, "g") if "salt" in one]) == 1
    assert on_top(plan, "g") == ["284 g raw crushed tomatoes", "281 g potato"]
    assert "284 g of raw crushed tomatoes" in sauce_words(plan.toppings, "g"), "the same figure at the bench"
    unsalted = replace(plan, lines=tuple(one for one in plan.lines if one.kind != "salt"))
    assert to_have(unsalted, "g")[-1] == "salt", "of a dough without any the sauce still wants it"
