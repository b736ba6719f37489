"""Allergens of own things: what is said, what a name tells, what nobody stated."""

from __future__ import annotations

import pytest

from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.formula.toppings import ToppingItem, ToppingSet
from webapp.core.safety.allergens import not_stated, told_by_name
from webapp.data.doughs import formulas
from webapp.data.safety import allergens, plain_names
from webapp.data.toppings import topping_sets
from webapp.forms.allergens import by_name, in_formula, in_set, is_plain, proposed, said_text


def topping(name: str, *said: str, is_said: bool = False) -> ToppingItem:
    return ToppingItem(name, name, 0.1, allergens=said, allergens_said=is_said or bool(said))


# What Annex II of Regulation (EU) 1169/2011 names as examples of its own (nuts; cereals), what FDA's list of major
# food allergens names as examples (bass, flounder and cod as fish; crab, lobster and shrimp; almonds, walnuts, pecans),
# and common practice of the trade for what is put on a tray.
@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("Anchovy fillets", ("fish",)),
        ("Walnut halves", ("nuts",)),
        ("Low-moisture mozzarella, grated", ("milk",)),
        ("Spelt", ("gluten",)),
        ("Almonds, flaked", ("nuts",)),
        ("Cod", ("fish",)),
        ("Crab", ("crustaceans",)),
        ("Basil pesto", ("milk", "nuts")),
        ("Soy sauce", ("gluten", "soybeans")),
        ("Mussels in white wine", ("sulphites", "molluscs")),
        ("Peanut crumble", ("peanuts",)),
        ("Tahini", ("sesame",)),
        ("Egg yolk", ("eggs",)),
        ("Celeriac", ("celery",)),
        ("Mustard greens", ("mustard",)),
        ("Lupin flour", ("lupin",)),
        ("Tomatoes", ()),
        # Other foods' names: common practice of the trade. Annex II, from memory, names of nuts almonds, hazelnuts,
        # walnuts, cashews, pecans, Brazil nuts, pistachios, macadamias; coconut, nutmeg and butternut are none of them,
        # and buckwheat is no cereal that contains gluten.
        ("Oyster mushrooms", ()),
        ("King oyster mushrooms in butter", ("milk",)),
        ("Oyster mushrooms and oysters", ("molluscs",)),
        ("Coconut flakes", ()),
        ("Coconut milk", ()),
        ("Almond milk", ("nuts",)),
        ("Soya milk", ("soybeans",)),
        ("Oat milk, milk", ("gluten", "milk")),
        ("Spelt milk drink", ("gluten",)),
        ("Rice cream", ()),
        ("Almond cream", ("milk", "nuts")),  # with butter in it, in a bakery: what may be meant is proposed
        ("Peanut butter", ("peanuts",)),
        ("Monkey nuts", ("peanuts",)),
        ("Cocoa butter", ()),
        ("Butter beans", ()),
        ("Butternut squash", ()),
        ("Nutmeg", ()),
        ("Buckwheat", ()),
        ("Eggplant", ()),
        ("Cream of tartar", ()),
        ("Tiger nuts", ()),
        ("Ginger beer", ()),
        ("Crab apples", ()),
        ("Fish cakes", ("fish",)),
        ("Chilli oil", ()),
    ],
)
def test_a_name_tells_what_is_commonly_in_it(name: str, keys: tuple[str, ...]) -> None:
    assert by_name(name) == keys


def test_every_allergen_of_the_lists_is_told_by_its_own_name() -> None:
    for one in allergens():
        assert one.key in by_name(one.names[0]), one.key
        assert all(name == name.lower() for name in (*one.names, *one.but))
        for other in one.but:
            assert one.key not in by_name(other), other
            assert any(set(other.split()) >= set(known.split()) for known in one.names) or one.key == "nuts", other


def test_what_nobody_said_is_proposed_and_what_was_said_stays_said() -> None:
    pizza = in_set(
        ToppingSet("own-1", "Friday", (topping("Anchovies"), topping("Walnuts", "milk"), topping("Mozzarella", "milk")))
    )
    fish, nuts, milk = pizza.items
    assert (fish.allergens, fish.allergens_by_name, fish.allergens_said) == (("fish",), ("fish",), False)
    assert (nuts.allergens, nuts.allergens_by_name) == (("milk", "nuts"), ("nuts",))
    assert (milk.allergens, milk.allergens_by_name) == (("milk",), ())
    assert told_by_name(pizza.items) == ("fish", "nuts")


def test_who_says_none_is_believed_and_who_says_nothing_is_not_taken_for_it() -> None:
    none, nothing = topping("Vegan mozzarella", is_said=True), topping("Chilli oil")
    assert proposed(none).allergens == ()
    assert not_stated([], [none, proposed(nothing)]) == ("Chilli oil",)
    assert [said_text(one) for one in (none, nothing, proposed(topping("Tuna")), topping("Feta", "milk"))] == [
        "none", "", "", "milk",
    ]  # fmt: skip


def test_what_is_proposed_twice_is_proposed_once() -> None:
    once = in_set(ToppingSet("own-1", "Friday", (topping("Walnuts"), topping("Brie", "milk"))))
    assert in_set(once) == once


# Article 19 (1) (a) of Regulation (EU) 1169/2011, from memory: fresh fruit and vegetables that are not peeled, cut or
# treated need no list of ingredients. What has to have one is common practice of the trade.
PLAIN = ("Olive oil", "Extra-virgin olive oil", "Basil leaves, torn", "Red onion, thinly sliced", "Honey",
         "Black pepper", "Salt and pepper", "Garlic", "Raw crushed tomatoes", "King oyster mushrooms",
         "Cherry tomatoes", "Nutmeg")  # fmt: skip
NOT_PLAIN = ("Garlic oil", "Tomato sauce", "Olives", "Dried tomatoes", "Salami", "Vegetable oil", "Hot honey",
             "Coconut milk", "Salt cod", "Potato bread", "Honey mustard", "Peeled potatoes", "Capers", "Grapes",
             "Onions in butter", "Oil", "Fine", "", "Chestnuts", "Sweet chilli", "Pepper jam", "Polenta")  # fmt: skip


def test_of_one_plain_thing_nobody_has_to_state_that_there_is_none() -> None:
    assert [name for name in PLAIN if not is_plain(name)] == []
    assert [name for name in NOT_PLAIN if is_plain(name)] == []
    things = [proposed(topping(name)) for name in ("Olive oil", "Salami")]
    assert not_stated([], things) == ("Salami",)


def test_a_plain_name_that_becomes_another_is_asked_about_again() -> None:
    """Nothing was typed, so the form says nothing: "none" would be believed of what the row is called next."""
    assert said_text(proposed(topping("Olive oil"))) == ""
    assert said_text(proposed(topping("House oil", is_said=True))) == "none"


def test_no_plain_name_tells_an_allergen() -> None:
    plain, beside = plain_names()
    assert [name for name in (*plain, *beside) if by_name(name)] == []


def test_what_the_house_ships_with_none_and_a_plain_name_bears_out_that_it_is_plain() -> None:
    for chosen in topping_sets().values():
        for one in chosen.items:
            assert not (one.allergens and is_plain(one.name)), one.name


def test_an_own_dough_of_before_the_question_has_what_its_names_tell() -> None:
    rows = (
        Ingredient("flour-0", "Rice flour", "flour", 100.0),
        Ingredient("water-1", "Beer", "water", 60.0),
        Ingredient("salt-2", "Salt", "salt", 2.0),
        Ingredient("butter-3", "Butter", "fat", 5.0),
        Ingredient("oil-4", "House oil", "fat", 2.0),
    )
    read = in_formula(Formula("own-1", "Ours", "tray", rows))
    assert [one.allergens_by_name for one in read.ingredients] == [(), ("gluten",), (), ("milk",), ()]
    assert not_stated(read.ingredients, ()) == ("House oil",)


def test_of_what_the_house_ships_everything_is_said() -> None:
    for formula in formulas():
        assert not_stated(formula.ingredients, ()) == ()
        assert told_by_name(formula.ingredients) == ()
    for chosen in topping_sets().values():
        assert all(one.allergens_said and not one.allergens_by_name for one in chosen.items)
