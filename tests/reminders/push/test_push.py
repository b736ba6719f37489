"""Push messages: encrypted and signed as the standards say, sent when due, never twice, gone with the browser."""

from __future__ import annotations

import json
import sqlite3
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import http_ece
import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from sqlalchemy.exc import OperationalError

from tests.databases import settings_in
from tests.home import Home
from tests.reminders.push.push_service import Browser, PushService, b64, unb64
from tests.samples import at, sample_plan
from webapp.core.errors import PlanError
from webapp.core.plan.plan import Plan
from webapp.machine.net_guard import Guard
from webapp.reminders.events import draw, set_alarms
from webapp.reminders.ics import Entry
from webapp.reminders.push import message as push
from webapp.reminders.push import sending
from webapp.reminders.push.message import Outcome, Receiver, Sender, check_receiver, public_key
from webapp.server.background import Background, Rounds
from webapp.store.reminders import EntryRow


@pytest.fixture
def service() -> Iterator[PushService]:
    running = PushService()
    yield running
    running.stop()


@pytest.fixture
def browser() -> Browser:
    return Browser()


@pytest.fixture
def sender(home: Home, service: PushService) -> Iterator[Sender]:
    made = Sender(home.folder, Guard(also=frozenset({service.host})), "https://suppertide.example", lambda: home.now)
    yield made
    made.close()


def receiver(browser: Browser, endpoint: str) -> Receiver:
    return Receiver(endpoint, browser.p256dh, b64(browser.auth))


def subscribe(home: Home, service: PushService, browser: Browser, name: str = "one") -> str:
    return sending.subscribe(
        home.store, home.now, home.new_id, home.kitchen_id, "phone-1",
        receiver(browser, service.endpoint(name)), frozenset({service.host}),
    )  # fmt: skip


def rings(home: Home, sender: sending.Sends) -> int:
    """One round of the worker."""
    sending.lay_out(home.store, home.now)
    return sending.ring_due(home.store, sender, home.now)


class Counting:
    """Stands in for the sender; counts, and answers as told."""

    def __init__(self, *outcome: Outcome) -> None:
        self.outcome = outcome[0] if outcome else Outcome(push.SENT)
        self.sent: list[tuple[str, str]] = []
        self.lock = threading.Lock()

    def send(self, to: Receiver, payload: str, topic: str, ttl_s: int) -> Outcome:
        with self.lock:
            self.sent.append((to.endpoint, topic))
        return self.outcome


# -- the standards


def test_the_decrypting_library_reads_the_example_of_the_standard() -> None:
    """RFC 8291 section 5: the worked example, so that the check below stands on something outside of us."""
    private = int.from_bytes(unb64("q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"), "big")
    message = unb64(
        "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3j"
        "l7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
    )
    key = ec.derive_private_key(private, ec.SECP256R1())
    read = http_ece.decrypt(message, private_key=key, auth_secret=unb64("BTBZMqHH6r4Tts7J_aSIgg"), version="aes128gcm")
    assert read == b"When I grow up, I want to be a watermelon"


def test_a_due_message_arrives_readable_signed_and_with_its_headers(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    plan = home.plan()
    subscribe(home, service, browser)
    home.now = at(7, 5)  # ten minutes before mixing
    assert rings(home, sender) == 1
    (taken,) = service.taken
    said = browser.read(taken.body)
    assert said["title"] == "Mix the dough"
    assert said["bake"] == plan.bake_id
    assert said["body"].startswith("07:15")
    assert taken.headers["Content-Encoding"] == "aes128gcm"
    assert taken.headers["Urgency"] == "high"
    assert 0 < int(taken.headers["TTL"]) <= 86400
    assert len(taken.headers["Topic"]) <= 32
    assert set(taken.headers["Topic"]) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_")
    claims = taken.claims()
    assert claims["aud"] == f"http://{service.host}"
    assert home.now < claims["exp"] <= home.now + 86400
    assert claims["sub"] == "https://suppertide.example"
    assert claims["key"] == public_key(home.folder)


def test_a_message_is_made_of_facts_and_never_read_out_of_the_calendars_text() -> None:
    entry = Entry("u@suppertide", "mix", 0, 60, "Mix the dough", "Other words, and other lines\n(all)", "/elsewhere", 0,
                  bake_id="b", short="07:15 – Weigh into one bowl.")  # fmt: skip
    said = json.loads(sending.payload_of(entry))
    assert said == {
        "title": "Mix the dough",
        "body": "07:15 – Weigh into one bowl.",
        "tag": "u@suppertide",
        "bake": "b",
    }


def test_an_event_kept_from_before_gets_its_short_text_and_no_new_sequence(home: Home) -> None:
    plan = home.plan()
    rows = {row.step_id: row for row in _drawn(home)}
    old = [
        replace(row, entry={k: v for k, v in row.entry.items() if k not in ("short", "bake_id")})
        for row in rows.values()
    ]
    home.store.save_entries(plan.bake_id, old, "another stamp")
    home.change(avoid=("milk",))
    again = {row.step_id: row for row in _drawn(home)}
    assert {one: row.sequence for one, row in again.items()} == {one: row.sequence for one, row in rows.items()}
    assert str(again["mix"].entry["short"]).startswith("07:15 – ")
    assert again["mix"].entry["bake_id"] == plan.bake_id


def _drawn(home: Home) -> tuple[EntryRow, ...]:
    draw(home.store, home.now, home.kitchen_id)
    return home.store.calendar_entries(home.kitchen_id)


def test_a_message_holds_hostile_and_long_texts_within_four_kilobytes(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    from tests.reminders.test_ics import with_text_everywhere

    home.plan(with_text_everywhere("🍕\r\n\x00" * 3000))
    subscribe(home, service, browser)
    home.now = at(7, 5)
    assert rings(home, sender) == 1
    assert len(service.taken[0].body) <= 4096  # RFC 8291 4: what a service must take at least
    assert browser.read(service.taken[0].body)["title"].startswith("🍕")


def test_the_servers_key_is_made_once_and_is_its_owners_alone(tmp_path: Path) -> None:
    first = public_key(tmp_path)
    assert public_key(tmp_path) == first
    assert len(unb64(first)) == 65
    assert (tmp_path / "push.key").stat().st_mode & 0o077 == 0


@pytest.mark.parametrize(
    "endpoint",
    [
        "https://fcm.googleapis.com/fcm/send/abc",
        "https://updates.push.services.mozilla.com/wpush/v2/abc",
        "https://web.push.apple.com/abc",
        "https://wns2-par02p.notify.windows.com/w/?token=abc",
    ],
)
def test_the_services_of_the_browsers_are_known(endpoint: str, browser: Browser) -> None:
    check_receiver(receiver(browser, endpoint), frozenset())


@pytest.mark.parametrize(
    "endpoint",
    [
        "http://fcm.googleapis.com/fcm/send/abc",
        "https://fcm.googleapis.com.evil.example/x",
        "https://evilpush.apple.com/x",
        "https://fcm.googleapis.com:8443/x",
        "https://user@fcm.googleapis.com/x",
        "https://127.0.0.1/x",
        "https://[::1",
        "file:///etc/passwd",
        "",
        "https://fcm.googleapis.com/" + "x" * 3000,
    ],
)
def test_nothing_is_sent_anywhere_else(endpoint: str, browser: Browser) -> None:
    with pytest.raises(PlanError) as caught:
        check_receiver(receiver(browser, endpoint), frozenset())
    assert caught.value.problems[0].field == "endpoint"


@pytest.mark.parametrize(("p256dh", "auth"), [("", ""), ("AAAA", "c2l4dGVlbiBieXRlcyBvaw"), ("!!", "??"), ("é", "é")])
def test_keys_that_are_none_are_said(p256dh: str, auth: str) -> None:
    with pytest.raises(PlanError) as caught:
        check_receiver(Receiver("https://web.push.apple.com/a", p256dh, auth), frozenset())
    assert caught.value.problems[0].field == "keys"


def test_a_key_of_the_wrong_length_is_said(browser: Browser) -> None:
    with pytest.raises(PlanError):
        check_receiver(Receiver("https://web.push.apple.com/a", browser.p256dh, b64(b"short")), frozenset())


# -- when


def test_every_step_rings_once_at_its_alarm(home: Home, service: PushService, browser: Browser) -> None:
    plan = home.plan()
    subscribe(home, service, browser)
    counting = Counting()
    rung_at: dict[str, int] = {}
    for home.now in range(at(6, 55), at(19, 45), 60):
        rings(home, counting)
        for _, topic in counting.sent[len(rung_at) :]:
            rung_at[topic] = home.now
    alarms = {
        sending.topic_of(f"{plan.bake_id}-{s.step_id}@suppertide"): s.start - 60 * s.alarm_min for s in plan.steps
    }
    assert rung_at == alarms
    assert len(counting.sent) == len(plan.steps)


def home_at_half_past_four(home: Home) -> Plan:
    """Home at 16:30, pressing out at 16:35 with its alarm five minutes before."""
    home.change(every_step=False, alarms=())
    sample = sample_plan()
    steps = tuple(replace(s, start=at(16, 35), end=at(16, 45)) if s.kind == "press" else s for s in sample.steps)
    return home.plan(replace(sample, steps=steps))


def test_a_message_calls_home_half_an_hour_before_and_another_to_the_step(
    home: Home, service: PushService, browser: Browser
) -> None:
    plan = home_at_half_past_four(home)
    subscribe(home, service, browser)
    counting = Counting()
    rung_at = []
    for home.now in range(at(15), at(17), 60):
        before = len(counting.sent)
        rings(home, counting)
        rung_at += [(home.now, topic) for _, topic in counting.sent[before:]]
    topics = [sending.topic_of(f"{plan.bake_id}-{one}@suppertide") for one in ("home-20261125", "press")]
    assert rung_at == [(at(16), topics[0]), (at(16, 30), topics[1])]


@pytest.mark.parametrize("down", [True, False])
@pytest.mark.parametrize(("late", "step"), [(at(16, 29), "home-20261125"), (at(16, 31), "press")])
def test_nobody_is_called_home_by_a_message_after_the_hour_of_coming_home(
    home: Home, service: PushService, browser: Browser, down: bool, late: int, step: str
) -> None:
    """Whether the browser was subscribed only then, or the server was down until then."""
    plan = home_at_half_past_four(home)
    counting = Counting()
    if down:
        subscribe(home, service, browser)
        home.now = at(15)
        rings(home, counting)
    home.now = late
    subscribe(home, service, browser)
    rings(home, counting)
    assert [topic for _, topic in counting.sent] == [sending.topic_of(f"{plan.bake_id}-{step}@suppertide")]


def test_an_endpoint_that_breaks_the_sending_keeps_no_other_waiting(
    home: Home, service: PushService, browser: Browser
) -> None:
    """One with a NUL in it came into the database before such were refused."""
    home.plan()
    for name in ("broken", "whole"):
        subscribe(home, service, browser, name)

    class Breaking(Counting):
        def send(self, to: Receiver, payload: str, topic: str, ttl_s: int) -> Outcome:
            if to.endpoint.endswith("broken"):
                raise ValueError("embedded null byte")
            return super().send(to, payload, topic, ttl_s)

    home.now = at(19, 29)
    sending.lay_out(home.store, home.now)
    breaking = Breaking()
    rings(home, breaking)
    assert breaking.sent
    assert {endpoint for endpoint, _ in breaking.sent} == {service.endpoint("whole")}
    assert home.store.next_due() is None or home.store.next_due() > home.now


def test_two_workers_and_a_restart_never_send_twice(home: Home, service: PushService, browser: Browser) -> None:
    plan = home.plan()
    for name in range(10):
        subscribe(home, service, browser, str(name))
    home.now = at(19, 29)
    sending.lay_out(home.store, home.now)
    counting = Counting()
    workers = [threading.Thread(target=sending.ring_due, args=(home.store, counting, home.now)) for _ in range(4)]
    for one in workers:
        one.start()
    for one in workers:
        one.join()
    again = Home(home.folder, home.now)
    rings(again, counting)
    assert len(counting.sent) == len(set(counting.sent))
    assert counting.sent
    assert {endpoint for endpoint, _ in counting.sent} == {service.endpoint(str(n)) for n in range(10)}
    assert plan.steps


def test_what_fell_due_while_the_server_was_down_is_sent_if_it_is_still_of_use(
    home: Home, service: PushService, browser: Browser
) -> None:
    home.plan()
    subscribe(home, service, browser)
    sending.lay_out(home.store, home.now)
    later = Home(home.folder, at(16, 50))  # mixing is long over, pressing began five minutes ago
    counting = Counting()
    assert rings(later, counting) == 1
    assert [topic for _, topic in counting.sent] == [sending.topic_of(f"{'b' * 22}-press@suppertide")]


def test_a_crash_between_claim_and_sending_loses_the_message_rather_than_doubling_it(
    home: Home, service: PushService, browser: Browser
) -> None:
    home.plan()
    subscribe(home, service, browser)
    home.now = at(7, 5)

    class Crash(Counting):
        def send(self, *_: object, **__: object) -> Outcome:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        rings(home, Crash())
    counting = Counting()
    assert rings(Home(home.folder, home.now + 30), counting) == 0


def test_a_moved_step_rings_at_its_new_time_under_the_same_topic(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    plan = home.plan()
    subscribe(home, service, browser)
    home.now = at(16, 40)
    home.did(plan, "done", at(7, 30), step_id="mix")
    assert rings(home, sender) == 1
    home.did(plan, "later", at(16, 41), until=at(17, 30))
    assert rings(home, sender) == 0
    home.now = at(17, 25)
    assert rings(home, sender) == 1
    first, second = service.taken
    assert first.headers["Topic"] == second.headers["Topic"]
    assert first.headers["Topic"] == sending.topic_of(f"{plan.bake_id}-press@suppertide")
    assert first.body != second.body


def test_a_step_that_moved_by_minutes_after_ringing_does_not_ring_again(
    home: Home, service: PushService, browser: Browser
) -> None:
    plan = home.plan()
    subscribe(home, service, browser)
    counting = Counting()
    home.now = at(19, 30)
    rings(home, counting)
    before = len(counting.sent)
    home.later(plan, "serve", 120)
    home.now += 130
    assert rings(home, counting) == 0
    assert len(counting.sent) == before


def test_a_step_done_early_and_a_silent_one_do_not_ring(home: Home, service: PushService, browser: Browser) -> None:
    plan = home.plan()
    subscribe(home, service, browser)
    counting = Counting()
    set_alarms(home.store, home.kitchen_id, {"press": -1})
    rings(home, counting)
    home.did(plan, "done", at(7, 0), step_id="mix")
    home.now = at(7, 10)
    assert rings(home, counting) == 0
    home.now = at(16, 46)
    assert rings(home, counting) == 0


def test_a_dropped_bake_rings_no_more(home: Home, service: PushService, browser: Browser) -> None:
    plan = home.plan()
    subscribe(home, service, browser)
    rings(home, Counting())
    home.drop(plan)
    home.now = at(7, 5)
    assert rings(home, Counting()) == 0


# -- what services answer


@pytest.mark.parametrize("status", [404, 410])
def test_a_browser_that_is_gone_is_forgotten(
    home: Home, service: PushService, browser: Browser, sender: Sender, status: int
) -> None:
    """RFC 8030 7.3: the subscription has expired or was removed."""
    home.plan()
    subscribe(home, service, browser)
    service.status = status
    home.now = at(7, 5)
    rings(home, sender)
    assert home.store.subscriptions(home.kitchen_id) == ()
    assert home.store.next_due() is None
    home.now = at(19)
    rings(home, sender)
    assert len(service.taken) == 1


def test_a_service_that_asks_for_patience_gets_it(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    home.plan()
    subscribe(home, service, browser)
    service.status, service.headers = 503, {"Retry-After": "120"}
    home.now = at(7, 5)
    assert rings(home, sender) == 0
    home.now += 119
    assert rings(home, sender) == 0
    assert len(service.taken) == 1
    service.status, service.headers = 201, {}
    home.now += 1
    assert rings(home, sender) == 1


def test_a_message_answered_by_500_is_tried_once_more_within_two_minutes_and_not_a_third_time(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    home.plan()
    subscribe(home, service, browser)
    service.status = 500
    home.now = at(7, 5)
    assert rings(home, sender) == 0
    home.now += 120
    assert rings(home, sender) == 0
    service.status = 201
    home.now += 300
    assert rings(home, sender) == 0, "better twice than never, but not three times"


def test_a_service_that_is_well_again_gets_the_message(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    home.plan()
    subscribe(home, service, browser)
    service.status = 500
    home.now = at(7, 5)
    rings(home, sender)
    service.status = 201
    home.now += 120
    assert rings(home, sender) == 1


@pytest.mark.parametrize("endpoint", ["https://fcm.googleapis.com/\ud800", "https://fcm.googleapis.com/a\0b",
                                      "https://fcm.googleapis.com/a b", "https://fcm.googleapis.com/é"])  # fmt: skip
def test_an_endpoint_that_is_no_plain_address_is_refused_before_it_is_kept(endpoint: str) -> None:
    with pytest.raises(PlanError) as caught:
        check_receiver(Receiver(endpoint, "x", "x"), frozenset())
    assert caught.value.problems[0].field == "endpoint"


def test_a_reply_that_is_lost_is_not_asked_for_again(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    """The message may well have been taken: a second one would ring twice."""
    home.plan()
    subscribe(home, service, browser)
    service.hangs_up = True
    home.now = at(7, 5)
    assert rings(home, sender) == 0
    service.hangs_up = False
    home.now += 600
    rings(home, sender)
    assert len(service.taken) == 1


def test_a_service_that_cannot_be_reached_is_tried_again_for_a_while(
    home: Home, service: PushService, browser: Browser
) -> None:
    home.plan()
    subscribe(home, service, browser)
    home.now = at(7, 5)
    unreachable = Counting(Outcome(push.AGAIN, 30))
    for _ in range(20):
        rings(home, unreachable)
        home.now += 30
    assert 1 < len(unreachable.sent) <= 5


def test_a_refused_connection_is_for_certain_not_taken(home: Home, browser: Browser) -> None:
    service = PushService()
    endpoint = service.endpoint()
    sender = Sender(home.folder, Guard(also=frozenset({service.host})), "")
    service.stop()
    assert sender.send(receiver(browser, endpoint), "{}", "t", 60).what == push.AGAIN
    sender.close()


def test_an_endpoint_in_our_own_network_is_not_asked(home: Home, service: PushService, browser: Browser) -> None:
    sender = Sender(home.folder, Guard(), "")
    assert sender.send(receiver(browser, service.endpoint()), "{}", "t", 60).what == push.REFUSED
    assert service.taken == []
    sender.close()


# -- who


def test_subscribing_again_replaces_and_another_kitchen_cannot_unsubscribe(
    home: Home, service: PushService, browser: Browser
) -> None:
    subscribe(home, service, browser)
    subscribe(home, service, browser)
    assert sending.how_many(home.store, home.kitchen_id, "phone-1") == (1, True)
    sending.unsubscribe(home.store, "another", service.endpoint())
    assert sending.how_many(home.store, home.kitchen_id, "phone-2") == (1, False)
    sending.unsubscribe(home.store, home.kitchen_id, service.endpoint())
    assert sending.how_many(home.store, home.kitchen_id, "phone-1") == (0, False)


def test_a_phone_that_is_shut_out_and_a_kitchen_that_is_deleted_take_their_messages_along(
    home: Home, service: PushService, browser: Browser
) -> None:
    home.plan()
    subscribe(home, service, browser)
    sending.lay_out(home.store, home.now)
    home.store.remove_phone(home.kitchen_id, "phone-1")
    assert home.store.next_due() is None
    home.store.delete_kitchen(home.kitchen_id)
    with home.store.reading() as db:
        for table in ("feeds", "push_due", "push_subscriptions", "calendar_entries", "calendar_versions"):
            assert db.exec_driver_sql(f"SELECT count(*) FROM {table}").fetchone()[0] == 0


def test_only_so_many_browsers(home: Home, service: PushService, browser: Browser) -> None:
    for number in range(sending.MOST_BROWSERS):
        subscribe(home, service, browser, str(number))
    with pytest.raises(PlanError):
        subscribe(home, service, browser, "one-more")


def test_a_test_ring_comes_after_a_minute_and_survives_a_new_plan(
    home: Home, service: PushService, browser: Browser, sender: Sender
) -> None:
    subscribe(home, service, browser)
    assert sending.ring_in_a_minute(home.store, home.now, home.kitchen_id, home.new_id) == 1
    home.now += 59
    assert rings(home, sender) == 0
    home.plan()
    home.now += 1
    assert rings(home, sender) == 1
    assert browser.read(service.taken[0].body)["title"] == "Test ring from Suppertide"


# -- in the background


def test_the_bell_rings_in_the_background_and_stops_when_told(tmp_path: Path, browser: Browser) -> None:
    service = PushService()
    arrived = threading.Event()
    settings = settings_in(tmp_path, push_hosts=(service.host,))
    home = Home(tmp_path, at(7, 5))
    home.plan()
    subscribe(home, service, browser)

    class Watch(list[object]):
        def append(self, one: object) -> None:
            super().append(one)
            arrived.set()

    service.taken = Watch()  # type: ignore[assignment]
    with Background(settings, now=lambda: home.now):
        assert arrived.wait(20)
    service.stop()
    assert len(service.taken) == 1


def test_a_round_that_breaks_is_logged_and_the_next_one_comes(caplog: pytest.LogCaptureFixture) -> None:
    turns: list[int] = []
    again = threading.Event()

    def once() -> float:
        turns.append(1)
        if len(turns) == 1:
            raise RuntimeError("this once")
        again.set()
        return 60.0

    rounds = Rounds("trial", once)
    rounds.pause_s = 0.0
    rounds.start()
    assert again.wait(10)
    rounds.stop()
    assert "a round of trial failed" in caplog.text


def test_while_the_database_is_away_each_round_says_so_in_one_line(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """A night of that was megabytes of what stood on the stack. What breaks in the program is still told in full."""

    def away() -> float:
        raise OperationalError("SELECT 1", None, sqlite_error(tmp_path))

    def broken() -> float:
        raise RuntimeError("ours")

    for once in (away, broken):
        Rounds("trial", once)._next()
    told, in_full = caplog.records
    assert told.getMessage() == (
        "a round of trial failed: The database cannot be opened. "
        "See that its folder is there and may be read and written by the server."
    )
    assert told.exc_info is None
    assert in_full.exc_info


def sqlite_error(folder: Path) -> sqlite3.Error:
    """SQLite's own, for a file in a folder that is not there."""
    with pytest.raises(sqlite3.OperationalError) as raised:
        sqlite3.connect(folder / "none" / "file")
    return raised.value
