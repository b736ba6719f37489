"""Every form of every page against made-up answers: 5,000 of them. Run by hand.

    python -m tests.by_hand.fuzz_forms [CASES [SEED]]

The forms are found by walking through the pages of an invented kitchen, and filled in by their own fields: as they
stand, with what could well be typed there, with what belongs to another field, and with what nobody should send. Of
each answer it is asked: no failure of ours (5xx); a refusal names what is wrong, on the page that it came from, with
everything that was typed still in it; what was saved leads to a page that opens. And no form is never saved: the table
at the end says how often each was taken and refused, with the larder's sheets really written down. Ends with 1 when
something failed, or when a form of the app was never met, or never taken.
"""

from __future__ import annotations

import io
import random
import re
import sqlite3
import sys
import tempfile
import threading
import time
import traceback
from collections import Counter
from contextlib import closing, suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.datastructures import MultiDict
from werkzeug.test import TestResponse

from tests.by_hand.form_reader import UNTYPED, Control, Form, Page
from tests.reminders.caldav.odd_server import OddServer
from webapp.commands.demo import demo
from webapp.machine.settings import Settings
from webapp.web.app import create_app

SAME = {"Sec-Fetch-Site": "same-origin"}
CASES_OF_A_KITCHEN = 40
NUMBERS = [
    "0",
    "1",
    "2",
    "3",
    "12",
    "2,5",
    "0.62",
    "0.7",
    "20",
    "24",
    "68",
    "68 %",
    "180",
    "250",
    "500",
    "30 x 40",
    "1 1/2",
]
TIMES = ["7", "7:30", "17:45", "22.30", "8:00-17:45", "8-12, 13-17:30", "00:00", "23:59", "7pm"]
WORDS = ["Flour from the mill", "Sea salt", "Ours", "Brotzeit süß", "gluten, milk", "ein Löffel", "water", "olive oil"]
HOSTILE = [
    "", " ", "\t", "-1", "-0", "0.0000001", "1e999", "1e99999999", "nan", "inf", "9" * 400, "0x10", "1_000", "٣", "½",
    "5/0", "1/0", "24:00", "25:61", "7:30-7:30", "17-8", "2026-02-30T99:99", "9999-12-31T23:59", "0001-01-01T00:00",
    "2026-12-24T19:30", "\0", "a\0b", "\x07\x1b[31m", "\r\nX-Injected: yes", "BEGIN:VEVENT\r\n",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>', "{{ 7 * 7 }}", "'; DROP TABLE kitchens; --", "../../etc/passwd", "%s%n%00",
    "\u202eabc", "\ufeff1", "\ufffe", "e\u0301" * 30, "😀" * 60, "a" * 5_000, "line\nline\nline", "None", "true", "[]",
    "own-", "bench-tray", "usual", "١٧:٤٥", "&amp;", "javascript:alert(1)", "http://127.0.0.1:1/", "//evil.example/",
]  # fmt: skip
START = (
    "/", "/plan", "/change/when", "/change/pan", "/change/dough", "/change/warm", "/change/who", "/week", "/book",
    "/larder", "/larder/new", "/larder/toppings", "/larder/toppings/new", "/larder/methods", "/larder/methods/new",
    "/settings", "/settings/oven", "/settings/people/0", "/settings/people/1", "/settings/people/2", "/settings/busy",
    "/test-glass", "/reminders", "/join", "/take-along", "/settings/zone?zone=Pacific/Auckland",
)  # fmt: skip
# Forms that end a kitchen, or whose page comes seldom: met, and not as often as the others.
SELDOM = {"export.delete_everything": 9, "bake_pages.delete": 4, "join.remove": 4, "bake_pages.drop": 3, "join.anew": 9}


# Shown only when a day fits no longer, or somebody's calendar server is in trouble: tests/web has them.
IN_TROUBLE = {"bake_pages.anew", "reminders.answer_start", "reminders.forget_left", "reminders.sign_in_again",
              "reminders.write_ours_again"}  # fmt: skip
ASKED_ANEW = {"reminders.connect"}  # its calendars are listed only to whoever signs in again; nothing is typed in it
MAY_BE_OVER = {"spare.make"}  # of a dough that was parted, baked, past its best; its page is at the same address
OF_THE_MINUTE = {"home.take", "bake_pages.pick"}  # they name the very offers that the page showed


@dataclass
class Tally:
    """What came of each endpoint's forms."""

    answers: Counter[tuple[str, str]] = field(default_factory=Counter)
    failed: list[str] = field(default_factory=list)
    on_top: Counter[str] = field(default_factory=Counter)  # refusals that have no field of the form

    def of(self, endpoint: str) -> int:
        return sum(count for (one, _), count in self.answers.items() if one == endpoint)


def endpoint_of(app: Flask, action: str) -> str:
    try:
        return str(app.url_map.bind("localhost").match(action.split("?")[0], method="POST")[0])
    except Exception:
        return ""


def form_endpoints(app: Flask) -> set[str]:
    return {
        one.endpoint for one in app.url_map.iter_rules() if "POST" in one.methods and not one.rule.startswith("/api")
    }


class Clock:
    """The time, or some seconds before it."""

    behind_s = 0

    def __call__(self) -> int:
        return int(time.time()) - self.behind_s


class Calendar(BaseHTTPRequestHandler):
    """A calendar at its own address."""

    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/calendar")
        self.end_headers()
        self.wfile.write(CALENDAR.encode())

    def log_message(self, *_: Any) -> None:
        """Not here."""


class Kitchen:
    """One invented kitchen: its browser, and where each form was seen."""

    def __init__(
        self, app: Flask, settings: Settings, calendar: OddServer, clock: Clock | None = None, served: str = ""
    ) -> None:
        """`clock`: the app’s, set back for what takes hours; `served`: the address of a calendar file."""
        self.app, self.client, self.clock = app, app.test_client(), clock or Clock()
        self.seen: dict[str, list[tuple[str, Form]]] = {}
        self.settings = settings
        self.pages = START
        code = demo(settings).rsplit("=", 1)[1]
        self.send("/join", self.forms(f"/join?code={code}")[0], {})
        self._begin(calendar, served)
        GOOD.update(
            {
                "address": [calendar.url],
                "busy-address": [served],
                "zone": ["Europe/Lisbon", "Asia/Tokyo"],
                "first": ["50"],
                "height": ["60"],
                "username": ["u"],
                "password": ["p"],
            }
        )
        GOOD["file"].append(self.client.get("/export.json").text)

    def forms(self, path: str) -> list[Form]:
        found = [one for one in Page(self.client.get(path).text).forms if one.method == "post"]
        for one in found:
            one.action = one.action or path.split("?")[0]
        return found

    def send(
        self, action: str, form: Form, changes: dict[str, list[str]], button: tuple[str, str] = ("", "")
    ) -> TestResponse:
        sent = MultiDict([(name, one) for name, many in (form.sent() | changes).items() for one in many])
        if button[0]:
            sent.add(*button)
        return post(self.client, action, form, sent)

    def first(self, path: str, action: str, changes: dict[str, str]) -> TestResponse:
        """A form of that page, filled in well."""
        (form, *_) = [one for one in self.forms(path) if one.action.split("?")[0].endswith(action)]
        answer = self.send(form.action, form, {name: [value] for name, value in changes.items()})
        assert answer.status_code in (200, 303), (path, answer.status_code, Page(answer.text).wrong)
        return answer

    def _begin(self, calendar: OddServer, served: str) -> None:
        """What no demo has: a calendar, own things, a test glass, an oven just lit."""
        self.walk()  # forms of a kitchen without a calendar are known too, as a page that was left open has them
        now = int(time.time())
        for link in set(Page(self.client.get("/").text).links):
            if re.fullmatch(r"/bakes/[\w-]{16,}", link):
                line = {"event_id": f"{now:032x}", "bake_id": link.split("/")[2], "at": now, "logged_at": now,
                        "phone": "p" * 16, "kind": "done", "data": {"step_id": "mix"}, "revision": 1}  # fmt: skip
                self.client.post(f"/api{link}/events", json={"events": [line]}, headers=SAME)
        self.clock.behind_s = 4 * 3600
        self.first("/test-glass", "/test-glass", {"room": "21"})
        self.clock.behind_s = 0
        if served:
            self.well_filled("/test-glass", "sample_glass.read", {"first": "50", "height": "60"})
            self.first("/settings/busy", "/settings/busy/address", {"busy-address": served})
            self._note("/settings/busy", Page(self.client.get("/settings/busy").text))  # a page that stays open
            self.first("/settings/busy", "/forget", {})
        self.first("/settings/busy", "/settings/busy", {"file": CALENDAR})
        self.first("/reminders", "/feed", {})
        self.well_filled(self.seen["outcome.accept"][0][0], "outcome.accept", {})
        self._is_shut_out()
        self.pages += (f"/settings/oven?lit={now - 600}", f"/join?code={demo(self.settings).rsplit('=', 1)[1]}")
        found = self.first("/reminders", "/find", {"address": calendar.url, "username": "u", "password": "p"})
        self._note("/reminders", Page(found.text))
        (form, *_) = [one for one in Page(found.text).forms if one.action == "/reminders/calendar"]
        self.send(form.action, form, {})
        for sheet in SHEETS:
            self.first(*sheet)

    def well_filled(self, path: str, endpoint: str, changes: dict[str, str]) -> None:
        """Send the first form of that page that leads there, filled in well."""
        form = next(one for one in self.forms(path) if endpoint_of(self.app, one.action) == endpoint)
        answer = self.send(form.action, form, {name: [value] for name, value in changes.items()})
        assert answer.status_code in (200, 303), (path, answer.status_code, Page(answer.text).wrong)

    def _is_shut_out(self) -> None:
        """The page that a phone sees whose key opens nothing any more."""
        phone = self.app.test_client()
        phone.set_cookie("suppertide", "k" * 43)
        (form, *_) = [one for one in Page(phone.get("/join").text).forms if one.method == "post"]
        told = post(phone, "/settings/oven/lit", form, MultiDict(form.sent()))  # type: ignore[arg-type]  # lists
        assert told.status_code == 403, told.text
        page, own = Page(told.text), self.forms("/join")[0]
        for one in page.forms:
            one.controls["csrf_token"] = own.controls["csrf_token"]  # of this browser's session
        self._note("/join", page)

    def walk(self) -> None:
        """Every page that can be reached, but of its kind a few; and the forms on it."""
        waiting, done, kinds = list(self.pages), set(), Counter()
        while waiting:
            path = waiting.pop(0)
            kind = re.sub(r"[A-Za-z0-9_-]{16,}", "*", path.split("=")[0])
            if path in done or kinds[kind] >= 5 or path.startswith(("/static", "/export", "/kitchen")):
                continue
            done.add(path)
            kinds[kind] += 1
            answer = self.client.get(path)
            assert answer.status_code < 500, path
            if answer.mimetype == "text/html":
                page = Page(answer.text)
                waiting += page.links
                self._note(path, page)

    def _note(self, path: str, page: Page) -> None:
        for form in page.forms:
            form.action = form.action or path.split("?")[0]
            if form.method == "post":
                self.seen.setdefault(endpoint_of(self.app, form.action), []).append((path, form))


class Begun:
    """The kitchen as it was at first: what was dropped or deleted is there again, and nothing piles up."""

    def __init__(self, settings: Settings, kitchen: Kitchen) -> None:
        self._database = settings.database
        self._copy = sqlite3.connect(":memory:")
        with closing(sqlite3.connect(self._database)) as now:
            now.backup(self._copy)
        self._keys = [(name, kitchen.client.get_cookie(name)) for name in ("suppertide", "suppertide-form")]

    def restore(self, kitchen: Kitchen) -> None:
        with closing(sqlite3.connect(self._database)) as now:
            self._copy.backup(now)
        kitchen.client = kitchen.app.test_client()
        for name, key in self._keys:
            assert key
            kitchen.client.set_cookie(name, key.value)


ROWS = {"0-name": "Flour", "0-amount": "500", "1-name": "Water", "1-amount": "350", "2-name": "Salt", "2-amount": "11",
        "3-name": "", "yeast": "1", "name": "Mill dough"}  # fmt: skip
TOPS = {"name": "Ours", "0-name": "Onion", "0-grams": "200", "0-when": "before", "0-keep": "shelf", "0-drained": "50"}
SLOW = {"name": "Slow bench", "0-kind": "mix", "0-hands": "20", "1-kind": "press", "1-least": "8 h", "1-best": "9 h",
        "1-most": "12 h", "2-kind": "load", "2-least": "45 min", "2-best": "1 h", "2-most": "90"}  # fmt: skip
CALENDAR = """BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//made up//EN
BEGIN:VEVENT
UID:1
DTSTAMP:20261101T000000Z
DTSTART:20261201T170000Z
DTEND:20261201T180000Z
END:VEVENT
END:VCALENDAR
"""
GOOD: dict[str, list[str]] = {"file": [CALENDAR], "word": ["delete"]}  # the rest is added when it is known
SHEETS: tuple[tuple[str, str, dict[str, str]], ...] = (
    ("/larder/new", "/larder", ROWS),
    ("/larder/toppings/new", "/larder/toppings", TOPS),
    ("/larder/methods/new", "/larder/methods", SLOW),
)


def post(client: FlaskClient, action: str, form: Form, sent: MultiDict[str, str]) -> TestResponse:
    body: MultiDict[str, Any] = MultiDict(sent)
    if form.files:
        for one in form.controls.values():
            if one.kind == "file":
                body[one.name] = (io.BytesIO(sent.get(one.name, "").encode()), "made-up.json")
        return client.post(action, data=body, headers=SAME, content_type="multipart/form-data")
    return client.post(action, data=body, headers=SAME)


def made_up(draw: random.Random, control: Control, form: Form) -> list[str]:
    """Other values for one field."""
    if control.name in GOOD and draw.random() < 0.4:
        return [draw.choice(GOOD[control.name])]
    if control.kind == "checkbox":
        return draw.choice([[], control.options[:1], ["y"]])
    if control.options and draw.random() < 0.7:
        return [draw.choice(control.options)]
    if control.kind == "hidden" and draw.random() < 0.5:
        return control.values
    chance = draw.random()
    if chance < 0.45:
        return [draw.choice(likely(control))]
    if chance < 0.85:
        return [draw.choice(HOSTILE)]
    if chance < 0.92:
        return list(draw.choice(list(form.controls.values())).values)
    return [] if chance < 0.96 else [draw.choice(HOSTILE), draw.choice(NUMBERS)]


def likely(control: Control) -> list[str]:
    if "decimal" in control.hint or "numeric" in control.hint:
        return NUMBERS
    if ":" in control.hint or control.kind == "datetime-local":
        return TIMES
    return WORDS + NUMBERS[:3]


def changed(draw: random.Random, form: Form) -> dict[str, list[str]]:
    """Which fields get other values: often one or two, now and then all, sometimes none."""
    if draw.random() < 0.15:
        return {one: [draw.choice(GOOD[one])] for one in form.controls if one in GOOD}
    names = [one for one in form.controls if one != "csrf_token"]
    many = draw.choices([0, 1, 2, 4, len(names)], [10, 45, 25, 12, 8])[0]
    return {name: made_up(draw, form.controls[name], form) for name in draw.sample(names, min(many, len(names)))}


def lost(form: Form, sent: dict[str, list[str]], again: Form) -> list[str]:
    """Fields in which the page that refuses shows something else than was sent."""
    found = []
    for name, control in form.controls.items():
        back, values = again.controls.get(name), sent.get(name, [])
        if control.kind in UNTYPED:
            continue
        if control.kind == "checkbox":
            same = back is not None and bool(back.values) == bool(values)
        elif control.options and back is not None:  # a value that is none of them cannot be shown as chosen
            values = [one for one in values if one in back.options]
            if not values:
                continue
            same = back.values == values[:1]
        else:
            same = back is not None and (
                shown(back.values) == shown(values[:1]) or (not values and shown(back.values) == "")
            )
        if not same:
            found.append(f"{name}: sent {values!r:.80}, shows {back.values if back else None!r:.80}")
    return found


def shown(values: list[str]) -> str:
    """As HTML can hold it: line ends are line feeds; a line's input holds none (HTML, 4.10.5.1.2)."""
    return "".join(values).replace("\r\n", "\n").replace("\r", "\n")


def form_again(forms: list[Form], path: str) -> list[Form]:
    """Those among them that lead there and ask for something."""
    return [one for one in forms if (one.action.split("?")[0] or path) == path and one.asks()]


def judged(
    kitchen: Kitchen, endpoint: str, form: Form, sent: dict[str, list[str]], answer: TestResponse, tally: Tally
) -> str:
    """ "" when the answer is as it should be, else what is wrong with it."""
    status = answer.status_code
    if "<script>alert(" in answer.text or "<img src=x" in answer.text or "X-Injected" in answer.headers:
        return "what was typed became a part of the page, or of its headers"
    if status == 303 and not re.match(r"/(?![/\\])", answer.headers["Location"]):
        return f"leads away, to {answer.headers['Location']}"
    if status == 303 and answer.headers["Location"] == "/" and tally.of(endpoint) % 5:
        return ""  # the home page plans the evening anew, which is most of the time that all this takes
    if status == 303:
        there = kitchen.client.get(answer.headers["Location"])
        return "" if there.status_code < 400 else f"leads to {answer.headers['Location']}: {there.status_code}"
    if status == 422 and form.asks():
        page = Page(answer.text)
        if not page.wrong or not all(said.strip() for _, said in page.wrong):
            return "refused, and nothing on the page says why"
        tally.on_top.update(f"{endpoint}: {said.strip()[:110]}" for where, said in page.wrong if not where)
        path = form.action.split("?")[0]
        if endpoint in ASKED_ANEW:
            return ""
        again = form_again(page.forms, path)
        if not again:  # what cannot be had any more, whatever is typed, is asked for no more; the page says so
            is_over = endpoint in MAY_BE_OVER and not form_again(kitchen.forms(path), path)
            return "" if is_over else "refused, and the form is gone"
        missed = min((lost(form, sent, one) for one in again), key=len)
        if missed:  # what the page asks for no more, as a pan that was put away meanwhile, cannot be shown again
            there = [name for one in form_again(kitchen.forms(path), path) for name in one.controls]
            missed = [said for said in missed if said.partition(":")[0] in there]
        return "; ".join(missed)
    return "" if status in (200, 404, 409, 422) else f"answered {status}"


def one_case(draw: random.Random, kitchen: Kitchen, endpoint: str, tally: Tally) -> None:
    """One form, filled in and sent; what came of it is told to `tally`."""
    path, form = draw.choice(kitchen.seen[endpoint])
    if endpoint in OF_THE_MINUTE:
        now = [one for one in kitchen.forms(path) if endpoint_of(kitchen.app, one.action) == endpoint]
        form = draw.choice(now) if now else form
    changes = changed(draw, form)
    sent = form.sent() | changes
    saves = [one for one in form.buttons if not one[0]]
    button = ("", "") if saves and draw.random() < 0.7 else draw.choice(form.buttons or [("", "")])
    try:
        answer = kitchen.send(form.action, form, changes, button)
        wrong = judged(kitchen, endpoint, form, sent, answer, tally)
        status = str(answer.status_code)
    except Exception:
        status, wrong = "raised", traceback.format_exc(limit=-4)
    tally.answers[endpoint, status] += 1
    if wrong:
        told = {name: value for name, value in changes.items() if name in form.controls}
        tally.failed.append(f"{endpoint} on {path}: {status}: {wrong}; sent {told!r:.600}, button {button}")
        print("FAILED", tally.failed[-1], file=sys.stderr, flush=True)


def main() -> int:
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    draw = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    tally, calendar, clock = Tally(), OddServer(), Clock()
    at_its_address = ThreadingHTTPServer(("127.0.0.1", 0), Calendar)
    threading.Thread(target=at_its_address.serve_forever, daemon=True).start()
    served = f"http://127.0.0.1:{at_its_address.server_port}/busy.ics"
    with tempfile.TemporaryDirectory() as name:
        settings = Settings(data=Path(name), local_calendars=True)
        app = create_app(settings, now=clock)
        app.testing = True  # what goes wrong is raised, not told
        app.extensions["suppertide-limits"].enabled = False
        done, wanted = 0, form_endpoints(app)
        kitchen = Kitchen(app, settings, calendar, clock, served)
        kitchen.walk()
        begun = Begun(settings, kitchen)
        with suppress(KeyboardInterrupt):  # what was tried until then is told
            while done < cases:
                begun.restore(kitchen)
                for _ in range(CASES_OF_A_KITCHEN):
                    least = min(kitchen.seen, key=lambda one: (tally.of(one) * SELDOM.get(one, 1), draw.random()))
                    one_case(draw, kitchen, least, tally)
                    done += 1
                print(f"{done} cases, {len(tally.failed)} failed", file=sys.stderr, flush=True)
    calendar.stop()
    at_its_address.shutdown()
    return report(tally, wanted, done)


def report(tally: Tally, wanted: set[str], done: int) -> int:
    for endpoint in sorted(wanted):
        row = {status: count for (one, status), count in sorted(tally.answers.items()) if one == endpoint}
        print(f"{endpoint:34}", " ".join(f"{status}:{count}" for status, count in row.items()))
    never = sorted(one for one in wanted - IN_TROUBLE if not tally.of(one))
    untaken = sorted(
        one for one in wanted - set(never) - IN_TROUBLE if not any(tally.answers[one, s] for s in ("200", "303"))
    )
    print("said on top, at no field:")
    for said, count in tally.on_top.most_common(60):
        print(f"  {count:5} {said}")
    print(f"{done} cases, {len(tally.failed)} failed; never met: {never}; never taken: {untaken}")
    return int(bool(tally.failed or never or untaken))


if __name__ == "__main__":
    sys.exit(main())
