"""How much a feed costs beside a bare Flask route, on the same server in the same run; and whether memory stays flat.

Run by hand: `python -m tests.bench.bench_feed`. Wanted: 304 at 0.6 and 200 at 0.3 of the bare route's requests per
second; memory flat over 10,000 requests. The bare route belongs to a plain Flask app beside ours, both behind the
same front; rounds alternate, and the median round counts, so that a busy machine slows all of them alike. Each
request has a connection of its own: so calendars ask.
"""

from __future__ import annotations

import asyncio
import http.client
import multiprocessing
import statistics
import tempfile
import time
from multiprocessing.connection import Connection
from pathlib import Path

from flask import Flask
from hypercorn.asyncio import serve as answer_at
from werkzeug.middleware.dispatcher import DispatcherMiddleware

from tests.home import Home
from tests.samples import sample_plan
from webapp.machine.settings import Settings
from webapp.reminders.events import new_feed
from webapp.server.front import Front
from webapp.server.serve import ServedSockets
from webapp.server.sockets import bind
from webapp.web.app import create_app

ROUNDS, REQUESTS, SOAK = 15, 200, 10_000
WANTED = {"304": 0.6, "200": 0.3}


def bare_app() -> Flask:
    """The reference: one route, no hooks."""
    app = Flask("bare")
    app.add_url_rule("/", view_func=lambda: "ok")
    return app


def serve(folder: str, pipe: Connection) -> None:
    """The server process: ours at /, the bare app at /bare."""
    home = Home(Path(folder))
    for letter in "abc":
        home.plan(sample_plan(letter * 22))
    new_feed(home.store, home.box, home.now, home.kitchen_id, "key")
    ours = create_app(Settings(data=Path(folder)), now=lambda: home.now)
    app = DispatcherMiddleware(ours, {"/bare": bare_app()})
    sockets = bind(0, None, network=False)
    pipe.send(sockets.port)
    front = Front(app, threads=4, most=lambda _: 1_000_000, ready=lambda: True)
    asyncio.run(answer_at(front, ServedSockets(sockets, None), mode="asgi"))


def resident_kb(process_id: int) -> int:
    """Resident memory of the server (Linux), in kB."""
    for line in Path(f"/proc/{process_id}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1])
    return 0


def ask(port: int, path: str, tag: str, times: int, status: int) -> float:
    """Requests per second, each over a connection of its own."""
    headers = {"If-None-Match": tag} if tag else {}
    start = time.perf_counter()
    for _ in range(times):
        connection = http.client.HTTPConnection("127.0.0.1", port)
        connection.request("GET", path, headers=headers)
        answer = connection.getresponse()
        answer.read()
        connection.close()
        assert answer.status == status, answer.status
    return times / (time.perf_counter() - start)


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        here, there = multiprocessing.Pipe()
        process = multiprocessing.Process(target=serve, args=(folder, there), daemon=True)
        process.start()
        port = here.recv()
        connection = http.client.HTTPConnection("127.0.0.1", port)
        connection.request("GET", "/feed/key.ics")
        answer = connection.getresponse()
        size, tag = len(answer.read()), answer.headers["ETag"]
        connection.close()
        cases = {"bare": ("/bare/", "", 200), "304": ("/feed/key.ics", tag, 304), "200": ("/feed/key.ics", "", 200)}
        rates: dict[str, list[float]] = {name: [] for name in cases}
        for _ in range(ROUNDS):
            for name, (path, with_tag, status) in cases.items():
                rates[name].append(ask(port, path, with_tag, REQUESTS, status))
        middle = {name: statistics.median(found) for name, found in rates.items()}
        print(f"feed of {size} bytes; bare Flask route: {middle['bare']:.0f} requests/s")
        for name, wanted in WANTED.items():
            ratio = middle[name] / middle["bare"]
            print(f"  {name}: {middle[name]:.0f} requests/s, {ratio:.2f} of the bare route (wanted {wanted})")
        before = resident_kb(process.pid or 0)
        for turn in range(SOAK // 100):
            ask(port, "/feed/key.ics", tag if turn % 2 else "", 100, 304 if turn % 2 else 200)
        after = resident_kb(process.pid or 0)
        print(f"memory over {SOAK} requests: {before} kB before, {after} kB after ({after - before:+} kB)")
        process.terminate()


if __name__ == "__main__":
    main()
