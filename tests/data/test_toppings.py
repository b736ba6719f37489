"""What the shipped toppings are called in a shop."""

from __future__ import annotations

from webapp.data.toppings import bought_names, topping_sets


def test_what_is_named_as_it_goes_on_has_the_name_it_is_bought_by() -> None:
    shipped = [item.name for one in topping_sets().values() for item in one.items]
    rims = [one.rim.name for one in topping_sets().values() if one.rim]
    prepared = {name for name in (*shipped, *rims) if "," in name}
    assert prepared <= bought_names().keys() <= {*shipped, *rims}
    assert bought_names()["Walnuts, broken"] == "Walnuts"
    assert all(name.startswith(bought) for name, bought in bought_names().items())


def test_no_topping_names_a_moment_that_is_over_where_it_is_told() -> None:
    """What goes on before the oven is told at topping, what goes on after it at the table, minutes after lifting."""
    shipped = [item.note for one in topping_sets().values() for item in one.items]
    rims = [one.rim.note for one in topping_sets().values() if one.rim]
    assert rims
    assert not [note for note in (*shipped, *rims) if "it is out" in note or "as soon as" in note]
