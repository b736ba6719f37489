"""The first thing saved makes a kitchen; what is refused makes none, and spends none of those an address may make."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest

from tests.web.conftest import InKitchen
from tests.web.kitchen.test_shut_out import kitchens

REFUSED = {
    "/plan": {"room": "nonsense"},
    "/settings/units": {"zone": "nowhere at all"},
    "/larder/toppings": {"name": ""},
}


@pytest.mark.parametrize("path", REFUSED)
def test_a_refused_form_makes_no_kitchen(phone: Callable[[], InKitchen], path: str) -> None:
    one = phone()
    answer = one.posts(path, one.answers(**REFUSED[path]))
    assert answer.status_code == 422
    assert "Set-Cookie" not in answer.headers or "suppertide=" not in answer.headers["Set-Cookie"]
    assert kitchens(one) == 0


def test_an_unreadable_file_makes_no_kitchen(phone: Callable[[], InKitchen]) -> None:
    one = phone()
    answer = one.posts("/import", {"file": (io.BytesIO(b"no kitchen"), "kitchen.json")})
    assert answer.status_code == 422
    assert kitchens(one) == 0


def test_wrong_answers_spend_none_of_the_kitchens_an_address_may_make(phone: Callable[[], InKitchen]) -> None:
    """Sixty an hour are let in; a village may be behind one address."""
    for _ in range(3):
        one = phone()
        for _ in range(25):
            assert one.posts("/larder/toppings", one.answers(name="")).status_code == 422
    one.has_a_bake()
    assert kitchens(one) == 1
