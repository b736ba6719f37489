"""What pages say, and what becomes of events, while steps are written into somebody's calendar."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.reminders.caldav.odd_server import OddServer
from tests.web.conftest import InKitchen
from webapp.machine.settings import Settings

PAGE = "/reminders"
FILE = "Put it in my calendar"


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data=tmp_path / "data", local_calendars=True)


@pytest.fixture
def make() -> Iterator[Callable[[], OddServer]]:
    made: list[OddServer] = []

    def one() -> OddServer:
        made.append(OddServer())
        return made[-1]

    yield one
    for server in made:
        server.stop()


def sealed_for(kitchen: InKitchen, server: OddServer) -> str:
    typed = {"address": server.url, "username": "u", "password": "p"}
    found = re.search(
        r'name="sealed" value="([^"]+)"', kitchen.posts("/reminders/calendar/find", typed, page=PAGE).text
    )
    assert found
    return found[1]


def connects(kitchen: InKitchen, server: OddServer, sealed: str = "") -> str:
    sent = {"sealed": sealed or sealed_for(kitchen, server), "calendar": server.url}
    return kitchen.posts("/reminders/calendar", sent, page=PAGE, follow_redirects=True).text


def test_a_bake_that_stands_in_a_calendar_says_so_and_offers_no_second_copy_first(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    bake_id = kitchen.has_a_bake()
    assert FILE in kitchen.get(f"/bakes/{bake_id}").text
    connects(kitchen, make())
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "Its steps stand in your calendar “Kitchen” and follow the plan." in page
    assert FILE not in page
    folded = page[page.index("A file for another calendar") :]
    assert f"/bakes/{bake_id}/bake.ics" in folded
    assert page.count("bake.ics") == folded.count("bake.ics")


def test_a_bake_whose_steps_move_by_themselves_does_not_ask_for_its_file_again(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    bake_id = kitchen.has_a_bake()
    connects(kitchen, make())
    kitchen.posts("/reminders/alarms", {"alarm-press": "45"}, page=PAGE)
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    assert "Added it before?" not in kitchen.get(f"/bakes/{bake_id}").text


def test_a_calendar_that_cannot_be_written_leaves_the_file_where_it_was(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    bake_id, server = kitchen.has_a_bake(), make()
    connects(kitchen, server)
    server.status = 401
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert FILE in page
    assert "follow the plan" not in page


def test_a_calendar_that_throws_alarms_away_is_told_of_on_the_pages_of_the_day(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    bake_id, server = kitchen.has_a_bake(), make()
    server.strips_alarms = True
    connects(kitchen, server)
    for page in (kitchen.get("/").text, kitchen.get(f"/bakes/{bake_id}").text):
        assert "Your calendar “Kitchen” keeps no alarms:" in page
    assert FILE in kitchen.get(f"/bakes/{bake_id}").text
    assert "throws alarms away" in kitchen.get(PAGE).text


def test_another_calendar_takes_the_place_of_the_former_whose_events_go(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    """Two tabs: the second signs in before the first has chosen."""
    kitchen.has_a_bake()
    former, latter = make(), make()
    sealed = sealed_for(kitchen, latter)
    connects(kitchen, former)
    assert len(former.held) == 6
    page = connects(kitchen, latter, sealed)
    assert (former.held, len(latter.held)) == ({}, 6)
    assert "“Kitchen” is no longer written. Coming events were taken out, and the password is forgotten." in page


def while_it_is_written(server: OddServer, act: Callable[[], str]) -> list[str]:
    """What `act` tells when the first event has come to the server, and nobody knows yet that it stands there."""
    told: list[str] = []

    def once(_: str) -> None:
        server.meddle = None
        told.append(act())

    server.meddle = once
    return told


def test_a_bake_given_up_while_its_steps_are_written_is_said_to_be_taken_out_and_cleared_once_it_is(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    bake_id, server = kitchen.has_a_bake(), make()

    def gives_up() -> str:
        kitchen.posts(f"/bakes/{bake_id}/drop", page=f"/bakes/{bake_id}")
        return kitchen.get(f"/bakes/{bake_id}").text

    told = while_it_is_written(server, gives_up)
    connects(kitchen, server)
    assert server.held
    assert "is cleared already" not in told[0]
    assert "What may still be on its way into your calendar “Kitchen” is being taken out." in told[0]
    kitchen.posts("/reminders/calendar/now", page=PAGE)
    assert server.held == {}
    assert "is cleared already" in kitchen.get(f"/bakes/{bake_id}").text


def test_a_calendar_disconnected_while_it_is_written_is_said_to_be_cleared_not_to_be_clear(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    kitchen.has_a_bake()
    server = make()
    sealed = sealed_for(kitchen, server)
    told = while_it_is_written(
        server, lambda: kitchen.posts("/reminders/calendar/off", page=PAGE, follow_redirects=True).text
    )
    connects(kitchen, server, sealed)
    assert "Coming events are being taken out, with what was just on its way there." in told[0]
    assert "were taken out" not in told[0]
    connects(kitchen, server, sealed)
    page = kitchen.posts("/reminders/calendar/off", page=PAGE, follow_redirects=True).text
    assert "Coming events were taken out, and the password is forgotten." in page
    assert server.held == {}


def test_what_could_not_be_taken_out_of_the_former_calendar_is_named(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    kitchen.has_a_bake()
    former, latter = make(), make()
    sealed = sealed_for(kitchen, latter)
    connects(kitchen, former)
    former.status = 503
    page = connects(kitchen, latter, sealed)
    assert "“Kitchen” is no longer written." in page
    assert "6 coming events may still stand there and ring" in page
    assert len(latter.held) == 6


def test_the_same_calendar_chosen_again_keeps_its_events(kitchen: InKitchen, make: Callable[[], OddServer]) -> None:
    kitchen.has_a_bake()
    server = make()
    sealed = sealed_for(kitchen, server)
    connects(kitchen, server)
    before = dict(server.held)
    assert "is no longer written" not in connects(kitchen, server, sealed)
    assert server.held == before
    assert not any(verb == "DELETE" for verb, _, _ in server.asked)


def test_forgetting_a_bake_while_the_server_is_down_says_that_its_steps_stand_there_still(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    bake_id, server = kitchen.has_a_bake(), make()
    connects(kitchen, server)
    server.status = 503
    kitchen.posts(f"/bakes/{bake_id}/delete", page=f"/bakes/{bake_id}")
    said = "6 steps stand in your calendar “Kitchen” and may ring: taken out as soon as its server lets us."
    assert said in kitchen.get("/").text


def test_another_tab_that_looks_for_calendars_while_one_is_connected_sees_the_list_or_what_is_wrong(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    kitchen.has_a_bake()
    connects(kitchen, make())
    other = make()
    typed = {"address": other.url, "username": "u", "password": "p"}
    page = kitchen.posts("/reminders/calendar/find", typed, page=PAGE).text
    assert "Signed in. Which calendar?" in page
    assert f'value="{other.url}"' in page
    assert "Another calendar takes the place of “Kitchen”" in page
    assert "Disconnect</button>" in page
    other.status = 401
    refused = kitchen.posts("/reminders/calendar/find", typed, page=PAGE)
    assert refused.status_code == 422
    assert "does not accept this user name and password" in refused.text
    assert "Look for my calendars" in refused.text
    assert "Look for my calendars" not in kitchen.get(PAGE).text


def test_an_event_whose_address_its_server_does_not_tell_is_named_and_not_offered_once_more(
    kitchen: InKitchen, make: Callable[[], OddServer]
) -> None:
    kitchen.has_a_bake()
    server = make()
    server.own_addresses, server.tells_location, server.lists = True, False, False
    page = connects(kitchen, server)
    assert len(server.held) == 1
    assert "its server does not tell where it keeps it: it does not follow the bake and may ring." in page
    assert "nothing more is written into it" in page
    assert "Write ours again" not in page
    assert "was taken out of the calendar" not in page
