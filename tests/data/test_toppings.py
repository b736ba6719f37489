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
