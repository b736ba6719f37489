"""What the first visitor would wait for is done beforehand: all of it, unless the server ends, whatever fails."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

from tests.samples import at
from tests.web.conftest import SAME
from webapp.core.plan.plan import Plan
from webapp.kitchens.bakes import newcomers_kitchen
from webapp.machine.settings import Settings
from webapp.planning import kept_part
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


def test_the_day_that_is_proposed_to_whoever_is_new_is_there_before_the_first_asks(settings: Settings) -> None:
    """Also to a crowd of them: what is proposed depends on no name, so all kitchens that are alike share it."""
    asked = list[int]()

    def counting(*question: Any) -> tuple[Plan, ...]:
        asked.append(question[2])
        return kept_part.plans_with_kept(*question)

    app = create_app(settings, planner=counting, now=lambda: at(6, 51))
    next(beforehand(app))()
    assert asked == [at(6, 55)]
    assert [app.test_client().get("/").status_code for _ in range(3)] == [200] * 3
    new = app.test_client()
    app.config["WTF_CSRF_ENABLED"] = False
    saved = new.post("/settings/zone", data={"zone": newcomers_kitchen().zone}, headers=SAME)
    assert saved.status_code == 303
    app.config["WTF_CSRF_ENABLED"] = True
    assert new.get("/").status_code == 200
    assert len(asked) == 1
