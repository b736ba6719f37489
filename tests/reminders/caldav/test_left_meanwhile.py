"""A calendar that is left while a round writes it: the round ends, and what it wrote too late is taken out."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from tests.home import Home
from tests.reminders.caldav.connected import connect, publish_all, state
from tests.reminders.caldav.odd_server import OddServer
from tests.reminders.caldav.test_leaving import goes_on, leave, logins
from tests.samples import sample_plan
from webapp.core.plan.plan import Plan
from webapp.kitchens import access
from webapp.reminders import joining
from webapp.reminders.caldav import account, leaving, publish
from webapp.reminders.caldav.look import look_safely
from webapp.reminders.caldav.merge import start_of
from webapp.store.ids import NotHere

STEPS = len(sample_plan().steps)


@pytest.fixture
def another() -> Iterator[OddServer]:
    server = OddServer()
    yield server
    server.stop()


def joins(home: Home) -> None:
    """Its only phone joins another kitchen."""
    theirs = access.make_kitchen(home.store, home.now, home.new_id, "their-key")
    access.offer_code(home.store, home.now, theirs.kitchen_id, "a-code")
    inside = access.Home(home.kitchen_id, "phone-1", "Phone 1", access.kitchen_of(home.store, home.kitchen_id))
    joining.join(home.store, home.now, home.new_id, "a-code", "my-key", inside)


@pytest.fixture(params=["disconnects", "changes the calendar", "joins"])
def leaves(request: pytest.FixtureRequest, home: Home, tools: account.Tools, another: OddServer) -> Callable[[], None]:
    """What the person does, as the pages do it."""

    def do() -> None:
        if request.param == "joins":
            joins(home)
            return
        leave(home, tools)
        if request.param == "changes the calendar":
            connect(home, tools, another.url)

    return do


def meanwhile(odd: OddServer, act: Callable[[], None], verb: str = "PUT", nth: int = 1, loses: bool = False) -> None:
    """In the middle of the nth such request from now on: it has come to the server and is not done yet. `loses`: its
    answer is lost on the way back."""
    answers, many = odd.answers, [0]

    def within(asked: str, path: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        many[0] += asked == verb
        if many[0] != nth or asked != verb:
            return answers(asked, path, headers, body)
        odd.answers = answers  # type: ignore[method-assign]
        act()
        done = answers(asked, path, headers, body)
        return (502, {}, b"") if loses else done

    odd.answers = within  # type: ignore[method-assign]


def everything_out(home: Home, tools: account.Tools, odd: OddServer) -> None:
    for _ in range(2):
        home.now += 60
        goes_on(home, tools)
    assert odd.held == {}


@pytest.mark.parametrize("loses", [False, True])
@pytest.mark.parametrize("nth", [1, 3])
def test_what_a_round_writes_while_its_calendar_is_left_is_taken_out_and_the_round_goes_on_no_more(
    home: Home,
    tools: account.Tools,
    odd: OddServer,
    another: OddServer,
    leaves: Callable[[], None],
    nth: int,
    loses: bool,
) -> None:
    connect(home, tools, odd.url)
    home.plan()
    meanwhile(odd, leaves, nth=nth, loses=loses)
    publish_all(home.store, tools, home.now)
    assert [verb for verb, _, _ in odd.asked].count("PUT") == nth, "nothing is written any more"
    assert odd.held, "what was on its way came too late to be taken out with the rest"
    everything_out(home, tools, odd)
    if present := home.store.account(home.kitchen_id):
        publish_all(home.store, tools, home.now)
        assert (present.calendar_url, len(another.held), state(home).problem) == (another.url, STEPS, "")
    else:
        assert logins(home) == [], "and the login is forgotten"


def test_what_a_round_moves_while_its_calendar_is_left_is_taken_out(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, leaves: Callable[[], None]
) -> None:
    odd.tag = lambda *_: ""  # so that no condition of ours keeps what is out from being written again
    home.moved(plan, 3600)
    meanwhile(odd, leaves)
    publish_all(home.store, tools, home.now)
    everything_out(home, tools, odd)


def test_the_page_tells_of_what_came_too_late_until_it_is_out(home: Home, tools: account.Tools, odd: OddServer) -> None:
    connect(home, tools, odd.url)
    home.plan()
    meanwhile(odd, lambda: leave(home, tools), nth=2)  # type: ignore[arg-type,return-value]
    publish_all(home.store, tools, home.now)
    (left,) = leaving.leavings(home.store, home.now, home.kitchen_id)
    assert (len(left.titles), left.until) == (len(odd.held), home.now + 86400)
    assert len(odd.held) == 1


def test_what_is_written_while_the_leaving_takes_out_is_not_lost_with_the_last_of_it(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    """The leaving is in the middle of its last DELETE when an event comes to be known that was written before it."""
    present = home.store.account(home.kitchen_id)
    assert present
    path = odd.path_of("press")
    held = next(p for p in home.store.posted(home.kitchen_id) if p.url.endswith(path))
    body = odd.held[path]

    def comes_late() -> None:
        odd.write(path, body)
        assert home.store.put_late(present, held, home.now)

    meanwhile(odd, comes_late, verb="DELETE", nth=STEPS)
    left = leave(home, tools)
    assert left
    assert left.titles == (held.title,)
    everything_out(home, tools, odd)


def test_a_login_that_was_forgotten_is_not_kept_again_for_what_came_too_late(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    def forgets() -> None:
        odd.status = 503
        left = leave(home, tools)
        assert left
        leaving.forget_login(home.store, home.kitchen_id, left.left_id)
        odd.status = 0

    home.moved(plan, 3600)
    meanwhile(odd, forgets)
    publish_all(home.store, tools, home.now)
    (left,) = leaving.leavings(home.store, home.now, home.kitchen_id)
    assert (logins(home), left.until, len(left.titles)) == ([], 0, STEPS)


def test_a_kitchen_that_is_deleted_while_its_calendar_is_written_leaves_nothing_there(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    def deletes() -> None:
        leave(home, tools)
        access.delete_everything(home.store, home.kitchen_id)

    connect(home, tools, odd.url)
    home.plan()
    meanwhile(odd, deletes, nth=2)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}


def test_a_password_that_is_changed_while_a_round_writes_leaves_nothing_unwritten(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    connect(home, tools, odd.url)
    home.plan()
    meanwhile(odd, lambda: connect(home, tools, odd.url), nth=2)
    publish_all(home.store, tools, home.now)
    assert len(odd.held) == 2, "that round has ended"
    publish_all(home.store, tools, home.now)
    assert (len(odd.held), state(home).problem) == (STEPS, "")


def test_a_calendar_that_is_connected_again_after_coming_back_keeps_its_steps(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    """Its only phone joined another kitchen while the server was down, and came back by a code made before."""
    odd.status = 503
    joins(home)
    goes_on(home, tools)
    odd.status = 0
    assert len(home.store.left_to_try(home.now + 86400)) == 1, "the kitchen that was joined is to take them out"
    connect(home, tools, odd.url)
    for _ in range(3):
        home.now += 600
        publish_all(home.store, tools, home.now)
        goes_on(home, tools)
    assert (len(odd.held), state(home).problem, state(home).left_alone) == (STEPS, "", ())
    assert home.store.left_to_try(home.now) == (), "nothing is left of the leaving"
    assert len(logins(home)) == 1
    before = start_of(odd.held[odd.path_of("press")])
    home.moved(plan, 3600)
    publish_all(home.store, tools, home.now)
    assert start_of(odd.held[odd.path_of("press")]) == before + 3600, "they follow the bake"
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert odd.held == {}, "and giving it up takes them out"


def test_a_leaving_that_is_under_way_spares_what_is_written_again_meanwhile(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    """The kitchen that was joined takes out the first event while the calendar is connected again in the former."""
    joins(home)
    meanwhile(odd, lambda: connect(home, tools, odd.url), verb="DELETE")
    goes_on(home, tools)
    assert sum(verb == "DELETE" for verb, _, _ in odd.asked) == 1, "nothing more is taken out"
    everything_stands(home, tools, odd)


def everything_stands(home: Home, tools: account.Tools, odd: OddServer) -> None:
    for _ in range(3):
        home.now += 600
        publish_all(home.store, tools, home.now)
        look_safely(home.store, tools, home.now, home.kitchen_id)
        goes_on(home, tools)
    assert (len(odd.held), state(home).problem, state(home).left_alone) == (STEPS, "", ())
    assert all(b"STATUS:CONFIRMED" in body and b"VALARM" in body for body in odd.held.values())


@pytest.mark.parametrize("is_seen_before", [False, True])
@pytest.mark.parametrize("verb", ["DELETE", "PUT"])
def test_an_event_that_is_on_its_way_out_while_its_calendar_is_connected_again_stands_there_again(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, verb: str, is_seen_before: bool
) -> None:
    """A DELETE, or where nothing may be deleted the PUT that calls it off, takes its time: meanwhile a round of the new
    connection has looked at the event (or has not) and found it in order."""
    odd.lets_delete = verb == "DELETE"

    def comes_back() -> None:
        connect(home, tools, odd.url)
        if is_seen_before:
            publish_all(home.store, tools, home.now)

    meanwhile(odd, comes_back, verb=verb)
    assert leave(home, tools) is None
    everything_stands(home, tools, odd)
    home.drop(plan)
    publish_all(home.store, tools, home.now)
    assert b"VALARM" not in b"".join(odd.held.values())


def test_a_test_ring_and_our_own_start_are_taken_out_too_where_the_calendar_is_left_meanwhile(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan
) -> None:
    meanwhile(odd, lambda: leave(home, tools))  # type: ignore[arg-type,return-value]
    with pytest.raises(NotHere):
        publish.ring_in_calendar(home.store, tools, home.now, home.kitchen_id, home.new_id)
    assert len(odd.held) == 1
    everything_out(home, tools, odd)
    connect(home, tools, odd.url)
    publish_all(home.store, tools, home.now)
    del odd.held[odd.path_of("press")]
    home.store.sync_again(home.kitchen_id)
    publish_all(home.store, tools, home.now)
    (removed,) = state(home).left_alone
    meanwhile(odd, lambda: leave(home, tools))  # type: ignore[arg-type,return-value]
    with pytest.raises(NotHere):
        publish.write_ours_again(home.store, tools, home.now, home.kitchen_id, removed.uid)
    assert len(odd.held) == 1
    everything_out(home, tools, odd)


def test_a_new_password_brings_no_calendar_back_that_was_left_while_its_server_was_asked(
    home: Home, tools: account.Tools, odd: OddServer, plan: Plan, leaves: Callable[[], None]
) -> None:
    meanwhile(odd, leaves, verb="PROPFIND")
    with pytest.raises(NotHere):
        account.sign_in_again(home.store, tools, home.now, home.kitchen_id, account.Login("u", "new"))
    present = home.store.account(home.kitchen_id)
    assert present is None or present.calendar_url != odd.url
    everything_out(home, tools, odd)


def test_a_phone_that_left_the_kitchen_while_a_server_was_asked_connects_no_calendar_there(
    home: Home, tools: account.Tools, odd: OddServer
) -> None:
    joins(home)
    with pytest.raises(NotHere):
        account.connect(
            home.store, tools, home.now, home.kitchen_id, account.Login("u", "p"), odd.url, "K", "", "phone-1"
        )
    assert home.store.account(home.kitchen_id) is None
