"""What the first visitor would wait for is done beforehand: all of it, unless the server ends, whatever fails."""

from __future__ import annotations

import threading
from pathlib import Path

from webapp.machine.settings import Settings
from webapp.server.beforehand import Beforehand
from webapp.web import app as web_app
from webapp.web.app import beforehand, create_app


def test_every_job_is_done_in_turn_and_one_that_fails_stops_none() -> None:
    done: list[str] = []
    over = threading.Event()

    def fails() -> None:
        raise ValueError("broken")

    work = Beforehand([lambda: done.append("first"), fails, lambda: done.append("last"), over.set], rest_s=0.0)
    assert over.wait(30)
    work.close(30)
    assert done == ["first", "last"]


def test_a_server_that_ends_does_no_more_of_them() -> None:
    inside, go_on, done = threading.Event(), threading.Event(), list[str]()

    def first() -> None:
        inside.set()
        assert go_on.wait(30)

    work = Beforehand([first, lambda: done.append("second")], rest_s=0.0)
    assert inside.wait(30)
    work.close(0.0)
    go_on.set()
    work.close(30)
    assert done == []


def test_afterwards_no_page_has_a_template_to_compile(tmp_path: Path) -> None:
    web_app.shell._kept.cache_clear()
    app = create_app(Settings(data=tmp_path))
    for job in beforehand(app):
        job()
    compiled = []
    app.jinja_env.compile = lambda *asked, **_: compiled.append(asked)  # type: ignore[method-assign, assignment]
    client = app.test_client()
    assert [client.get(path).status_code for path in ("/", "/week", "/plan", "/settings", "/kitchen")] == [200] * 5
    assert compiled == []
    assert web_app.shell._kept.cache_info().currsize == 1
