"""A phone that was taken off the list is told so, and no tap puts it into a new, empty kitchen."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from werkzeug.test import TestResponse

from tests.web.conftest import InKitchen
from tests.web.seen import mistakes, words


@pytest.fixture
def shut_out(phone: Callable[[], InKitchen]) -> InKitchen:
    """Its key opens nothing any more."""
    one = phone()
    one.has_a_bake()
    one.token("/join")
    store, kitchen_id = one.store, one.kitchen_id()
    (only,) = store.phones(kitchen_id)
    store.add_phone(kitchen_id, "the other", "hash of another key", "Phone 2", 0)
    store.remove_phone(kitchen_id, only.phone_id)
    return one


def kitchens(one: InKitchen) -> int:
    with one.store.reading() as db:
        count: int = db.exec_driver_sql("SELECT count(*) FROM kitchens").fetchone()[0]
    return count


@pytest.mark.parametrize("path", ["/plan", "/take", "/settings/zone", "/larder/toppings", "/join/code"])
def test_a_tap_of_a_phone_that_was_shut_out_makes_no_kitchen_and_offers_to_join(shut_out: InKitchen, path: str) -> None:
    answer = shut_out.posts(path, shut_out.answers(zone="Europe/London", name="Ours"))
    assert answer.status_code == 403
    assert "This phone is not in its kitchen any more" in answer.text
    assert "/join" in answer.text
    assert kitchens(shut_out) == 1


def test_its_home_page_says_so_too(shut_out: InKitchen) -> None:
    page = shut_out.get("/").text
    assert "This phone is not in its kitchen any more." in page
    assert "Join it again" in page
    assert "kitchen’s clock" not in page, "what it has is a newcomer's"


PAGES = ("/book", "/settings", "/week", "/plan", "/larder", "/reminders", "/join", "/take-along", f"/bakes/{'a' * 22}")


@pytest.mark.parametrize("path", PAGES)
def test_every_page_says_once_that_it_is_no_empty_kitchen_and_offers_to_join(shut_out: InKitchen, path: str) -> None:
    page = shut_out.get(path).text
    assert page.count("This phone is not in its kitchen any more.") == 1
    assert "Join it again" in page


def test_who_wants_a_new_kitchen_gets_one(shut_out: InKitchen) -> None:
    assert shut_out.posts("/join/anew").status_code == 303
    assert kitchens(shut_out) == 2
    assert "not in its kitchen" not in shut_out.get("/").text
    assert shut_out.posts("/settings/zone", {"zone": "Europe/London"}).status_code == 303


def test_the_file_of_its_kitchen_makes_no_second_one_unless_that_is_said(
    shut_out: InKitchen, phone: Callable[[], InKitchen]
) -> None:
    """It may well be the household's own file: then there would be two, and nobody would see that."""
    file = phone()
    file.has_a_bake()
    taken = file.get("/export.json").data
    before = kitchens(shut_out)

    def brings(**said: str) -> TestResponse:
        sent = {"file": (io.BytesIO(taken), "kitchen.json")} | said
        return shut_out.posts("/import", sent, page="/take-along", content_type="multipart/form-data")

    refused = brings()
    assert refused.status_code == 422
    assert "this phone is not in its kitchen any more" in mistakes(refused.text)
    assert "Join it again" in refused.text
    assert kitchens(shut_out) == before
    assert brings(anew="yes").status_code == 303
    assert kitchens(shut_out) == before + 1
    assert "Brought in" in words(shut_out.get("/").text)


def test_nobody_else_is_asked_for_a_second_kitchen(phone: Callable[[], InKitchen]) -> None:
    new = phone()
    assert "second kitchen" not in new.get("/take-along").text
    new.has_a_bake()
    assert "second kitchen" not in new.get("/take-along").text


def test_somebody_new_is_told_nothing_of_the_kind(phone: Callable[[], InKitchen]) -> None:
    new = phone()
    assert "not in its kitchen" not in new.get("/").text
    new.has_a_bake()
    assert kitchens(new) == 1
