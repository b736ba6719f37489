"""What is told of a topping by its name."""

from __future__ import annotations

import pytest

from webapp.core.formula.toppings import ToppingItem, ToppingSet
from webapp.data.toppings import topping_sets
from webapp.forms.risks import risk_of, with_risks


@pytest.mark.parametrize(
    ("name", "risk"),
    [
        ("Egg, one in the middle", "raw-egg"),
        ("Boiled eggs, sliced", ""),
        ("Eggplant, grilled", ""),
        ("Minced beef with onion", "raw-meat"),
        ("Sausage, in crumbs", "raw-meat"),
        ("Roast chicken", ""),
        ("Cooked ham", "avoid"),
        ("Smoked trout", "avoid"),
        ("Soft cheese", "avoid"),
        ("Hard cheese, soft onions", "avoid"),  # the safe side
        ("Mushrooms", ""),
    ],
)
def test_a_topping_of_ones_own_is_raw_unless_it_says_that_it_is_cooked(name: str, risk: str) -> None:
    assert risk_of(ToppingItem("x", name, 0.1)) == risk


def test_what_was_said_stays_and_the_rest_is_told() -> None:
    said = ToppingItem("a", "Egg", 0.1, risk="avoid")
    told = with_risks(ToppingSet("s", "S", (said, ToppingItem("b", "Egg", 0.1))))
    assert [one.risk for one in told.items] == ["avoid", "raw-egg"]


def test_shipped_toppings_say_themselves_what_their_names_would_tell() -> None:
    for chosen in topping_sets().values():
        for item in chosen.items:
            assert item.risk == risk_of(item), item.name


@pytest.mark.parametrize(
    ("name", "risk"),
    [
        ("Smoked bacon, diced", "raw-meat"),
        ("Cured pork sausage", "raw-meat"),
        ("Roasted peppers and egg", "raw-egg"),
        ("Fried onions with minced beef", "raw-meat"),
        ("Roast chicken", ""),
    ],
)
def test_of_two_things_the_raw_one_is_told_and_smoke_does_not_cook(name: str, risk: str) -> None:
    """Smoking and curing are no cooking (USDA FSIS on bacon and sausages); from memory."""
    assert risk_of(ToppingItem("x", name, 1.0, "before")) == risk


# Raw meat, fish and shellfish: USDA FSIS safe minimum internal temperatures. Whom soft and blue cheese, cured meat and
# smoked fish are a danger to: advice on listeria of US FDA and UK FSA. All from memory.
@pytest.mark.parametrize(
    ("names", "risk"),
    [
        ("Meatballs;Hamburger;Burger, raw;Venison;Rabbit;Raw prawns;Tuna, raw;Mussels", "raw-meat"),
        ("Pancetta;Speck;Chorizo;Guanciale;Coppa;Bresaola;Serrano;Pepperoni;Pâté", "avoid"),
        ("Cream cheese;Ricotta;Feta;Burrata;Mascarpone;Mould-ripened cheese;Smoked salmon", "avoid"),
        ("Carbonara cream;Mayonnaise", "raw-egg"),
        ("Tinned tuna;Grilled courgettes;Sweet cream;Fish-shaped nothing, tinned", ""),
    ],
)
def test_what_people_put_on_a_tray_is_told_by_name(names: str, risk: str) -> None:
    assert {name: risk_of(ToppingItem("x", name, 0.1)) for name in names.split(";")} == dict.fromkeys(
        names.split(";"), risk
    )


def test_what_is_a_danger_is_kept_in_the_fridge_whatever_was_written_down_before() -> None:
    """Sets of before the question was asked say "on the shelf" of everything that nobody thought about."""
    told = with_risks(
        ToppingSet("s", "S", tuple(ToppingItem(n, n, 0.1) for n in ("Minced beef", "Blue cheese", "Oil")))
    )
    assert [one.perishable for one in told.items] == [True, True, False]
