"""Nobody holds the house up, and nobody is told what is not theirs: limits, names, cookies, caches."""

from __future__ import annotations

import inspect
import io
import json
import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from flask import Flask
from sqlalchemy import func, select

from tests.web.conftest import SAME, InKitchen
from tests.web.seen import problem_of
from webapp.machine.net_guard import Guard, RefusedError
from webapp.machine.settings import Settings
from webapp.store.schema.tables import kitchens
from webapp.store.store import Store
from webapp.web.app import create_app

PAGES = (
    "/",
    "/week",
    "/book",
    "/settings",
    "/settings/oven",
    "/join",
    "/take-along",
    "/reminders",
    "/larder",
    "/kitchen",
)


def households(settings: Settings) -> int:
    store = Store(settings.database)
    with store.reading() as db:
        count = db.execute(select(func.count()).select_from(kitchens)).scalar_one()
    store.close()
    return count


@pytest.mark.parametrize("path", PAGES)
def test_a_visit_makes_no_household(phone: Callable[[], InKitchen], settings: Settings, path: str) -> None:
    answer = phone().get(path)
    assert answer.status_code == 200
    assert not any(line.startswith("suppertide=") for line in answer.headers.getlist("Set-Cookie"))
    assert households(settings) == 0


def test_the_first_thing_saved_makes_one(phone: Callable[[], InKitchen], settings: Settings) -> None:
    new = phone()
    new.plans()
    assert households(settings) == 1
    new.plans()
    assert households(settings) == 1


def test_households_without_end_from_one_address_are_refused_and_others_come_in(app: Flask) -> None:
    app.config["WTF_CSRF_ENABLED"] = False
    for _ in range(60):
        answer = app.test_client().post("/settings/zone", data={"zone": "Europe/Lisbon"}, headers=SAME)
        assert answer.status_code == 303
    refused = app.test_client().post("/settings/zone", data={"zone": "Europe/Lisbon"}, headers=SAME)
    assert refused.status_code == 429
    assert "Too many tries" in refused.text
    assert 0 < int(refused.headers["Retry-After"]) <= 3600
    other = app.test_client().post(
        "/settings/zone", data={"zone": "Europe/Lisbon"}, headers=SAME, environ_base={"REMOTE_ADDR": "192.168.7.9"}
    )
    assert other.status_code == 303


def test_a_week_is_not_asked_for_without_end_and_who_is_refused_is_told_until_when(kitchen: InKitchen) -> None:
    """RFC 6585, 4: 429, which may say how long to wait; RFC 9110, 10.2.3: in seconds."""
    at_once = [kitchen.get("/week").status_code for _ in range(60)]
    assert at_once == [200] * 60, "more than anybody looks at in a minute"
    refused = kitchen.get("/week")
    assert refused.status_code == 429
    assert "try again" in refused.text
    assert 0 < int(refused.headers["Retry-After"]) <= 60
    assert kitchen.get("/more").status_code == 200
    elsewhere = {"REMOTE_ADDR": "192.168.7.9"}
    assert kitchen.client.application.test_client().get("/week", environ_base=elsewhere).status_code == 200


def test_behind_every_address_that_plans_the_server_knows_to_be_careful(app: Flask) -> None:
    """Held against the code itself: whichever page hands on a planner of the world is one of them."""
    from webapp.web.limits import is_dear

    planners = re.compile(r"\.(?:planner|remembered|weeks)\b")
    named = {
        rule.endpoint
        for rule in app.url_map.iter_rules()
        if planners.search(inspect.getsource(inspect.unwrap(app.view_functions[rule.endpoint])))
    }
    assert {"week.show", "home.take", "what_if.ask"} <= named
    dear = is_dear(app)
    for rule in app.url_map.iter_rules():
        path = re.sub(r"<(?:(\w+):)?\w+>", lambda one: "0" if one[1] == "int" else "x", rule.rule)
        for method in {"GET", "POST"} & (rule.methods or set()):
            assert dear(method, path) or rule.endpoint not in named, rule.endpoint
    assert dear("GET", "/")
    assert dear("POST", "/plan")
    assert not any(dear("GET", path) for path in ("/more", "/health", "/static/css/base.css", "/nothing", "//x", ""))


def test_codes_are_not_tried_without_end(kitchen: InKitchen) -> None:
    token = kitchen.token("/join")
    answers = [
        kitchen.client.post("/join", data={"csrf_token": token, "code": "a" * 20}, headers=SAME).status_code
        for _ in range(21)
    ]
    assert answers == [422] * 20 + [429]


@pytest.mark.parametrize(
    "endpoint",
    ["https://fcm.googleapis.com/\x00", "https://fcm.googleapis.com/ a", "https://fcm.googleapis.com/\u00e9", "\n"],
)
def test_an_endpoint_that_is_no_address_is_named(kitchen: InKitchen, endpoint: str) -> None:
    sent = {"endpoint": endpoint, "keys": {"p256dh": "a", "auth": "b"}}
    answer = kitchen.client.post("/api/push", json=sent, headers=SAME)
    assert answer.status_code == 422
    assert problem_of(answer)["field"] == "endpoint"


@pytest.mark.parametrize("body", [b'{"endpoint": "\\ud800"}', b"[" * 100_000, b'{"endpoint": NaN}', b"\xff"])
def test_json_that_cannot_be_is_an_error_of_the_sender(kitchen: InKitchen, body: bytes) -> None:
    head = SAME | {"Content-Type": "application/json"}
    assert kitchen.client.post("/api/push", data=body, headers=head).status_code == 422
    assert kitchen.client.post("/api/bakes/x/events", data=body, headers=head).status_code in (404, 422)


def test_an_imported_file_of_endless_small_things_is_refused_unread(
    kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.web.kitchen.take_along._MOST_VALUES", 1000)
    text = b'{"kitchen": [' + b"0," * 1000 + b"0]}"
    answer = kitchen.posts("/import", {"file": (io.BytesIO(text), "kitchen.json")}, page="/take-along")
    assert answer.status_code == 422
    assert "not a kitchen" in answer.text


@pytest.mark.parametrize("path", ["/join", "/join?code=abc", "/reminders"])
def test_pages_with_keys_are_kept_by_nobody(kitchen: InKitchen, path: str) -> None:
    assert kitchen.get(path).headers["Cache-Control"] == "no-store"


def test_a_cookie_of_before_goes_on_working_and_is_changed_for_one_that_nobody_else_can_set(
    kitchen: InKitchen, app: Flask
) -> None:
    bake_id = kitchen.has_a_bake()
    key = kitchen.client.get_cookie("suppertide")
    assert key
    phone = app.test_client()
    phone.set_cookie("suppertide", key.value, domain="localhost")
    answer = phone.get(f"/bakes/{bake_id}", base_url="https://localhost")
    assert answer.status_code == 200
    new = [line for line in answer.headers.getlist("Set-Cookie") if line.startswith("__Host-suppertide=")]
    assert len(new) == 1
    assert {"Secure", "HttpOnly", "Path=/", "SameSite=Lax"} <= set(new[0].split("; "))
    assert "Domain" not in new[0]
    assert phone.get(f"/bakes/{bake_id}", base_url="https://localhost").status_code == 200


def test_only_a_server_with_a_domain_tells_browsers_to_come_over_https_for_ever(settings: Settings) -> None:
    app = create_app(replace(settings, public_url="https://bread.example"))
    named = app.test_client().get("/health", base_url="https://bread.example")
    assert named.headers["Strict-Transport-Security"].startswith("max-age=31536000")
    for base in ("https://192.168.7.20", "https://hallway.local", "http://bread.example"):
        assert "Strict-Transport-Security" not in app.test_client().get("/health", base_url=base).headers


def test_a_forwarded_host_is_believed_only_when_its_owner_named_it(settings: Settings) -> None:
    app = create_app(replace(settings, public_url="https://bread.example", proxies=1))
    seen: list[str] = []
    app.before_request(lambda: seen.append(__import__("flask").request.host))
    for host in ("evil.local", "bread.example", "bread.example, evil.local"):
        app.test_client().get("/health", base_url="http://127.0.0.1", headers={"X-Forwarded-Host": host})
    assert seen == ["127.0.0.1", "bread.example", "127.0.0.1"]


@pytest.mark.of_a_file
def test_a_database_that_became_empty_is_503_with_words(kitchen: InKitchen, settings: Settings) -> None:
    for path in settings.data.glob("suppertide.sqlite3-*"):
        path.unlink()
    (settings.data / "suppertide.sqlite3").write_bytes(b"")
    answer = kitchen.get("/settings")
    assert answer.status_code == 503
    assert "The database is empty" in answer.text
    assert json.loads(kitchen.get("/health").text)["error"]["message"].startswith("The database is empty")


METADATA = (
    "169.254.169.254",
    "fd00:ec2::254",
    "fd20:ce::254",
    "fd00:42::42",
    "100.100.100.200",
    "192.0.0.192",
    "168.63.129.16",
    "::ffff:169.254.169.254",
)


@pytest.mark.parametrize("address", METADATA)
def test_where_clouds_keep_credentials_nothing_is_sent_whatever_is_set(address: str) -> None:
    """The addresses are from the handbooks of the clouds, the last of the IPv6 ones from memory."""
    guard = Guard(local=True, also=frozenset({"box.example:80"}), resolve=lambda host, port: [address])
    with pytest.raises(RefusedError):
        guard.pin("http://box.example/")


@pytest.mark.parametrize("address", ["fec0::1", "feff::9", "192.88.99.1"])
def test_addresses_that_are_nobodys_by_now_are_not_on_the_internet(address: str) -> None:
    """RFC 3879 took site-local addresses back, RFC 7526 those of the 6to4 relays."""
    guard = Guard(local=True, resolve=lambda host, port: [address])
    with pytest.raises(RefusedError):
        guard.pin("https://box.example/")


def test_a_port_that_is_none_is_not_taken_for_the_usual_one() -> None:
    with pytest.raises(RefusedError):
        Guard(resolve=lambda host, port: ["93.184.216.34"]).pin("https://box.example:0/")
