"""The real server as a process of its own, on a free port with a data folder of its own, and bakes put into it."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import httpx

from tests.samples import sample_kitchen, sample_plan
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.kitchens.access import make_kitchen
from webapp.records import to_plain
from webapp.store.store import Store

ROOT = Path(__file__).resolve().parent.parent
STARTED = re.compile(r"Suppertide is at http://127\.0\.0\.1:(\d+)/")
PATIENCE_S = 30.0
STARTS_S = 240.0  # the machine may be busy with other checks


@dataclass
class Server:
    """`python -m webapp serve`, to be started, killed and started again at the same address."""

    data: Path
    port: int = 0
    root: Path = ROOT  # where the app lies; a changed copy is another version of it
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        """Without a slash at the end."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def output(self) -> Path:
        """What the process has said so far."""
        return self.data / "server.log"

    def start(self) -> Server:
        """Start and wait until it answers; when it dies instead, its own words are the error."""
        command = [sys.executable, "-m", "webapp", "serve", "--port", str(self.port), "--data", str(self.data)]
        with self.output.open("wb") as out:
            self.process = subprocess.Popen(command, cwd=self.root, stdout=out, stderr=subprocess.STDOUT)
        until = time.monotonic() + STARTS_S
        while time.monotonic() < until:
            said = STARTED.search(self.said())
            if said:
                self.port = int(said[1])
                httpx.get(f"{self.url}/health", timeout=PATIENCE_S).raise_for_status()
                return self
            if self.process.poll() is not None:
                break
            time.sleep(0.02)
        self.kill()
        raise AssertionError(f"the server did not start:\n{self.said()}")

    def said(self) -> str:
        """All that the process printed."""
        return self.output.read_text(encoding="utf-8", errors="replace") if self.output.exists() else ""

    def kill(self) -> None:
        """As a power cut would."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait(timeout=PATIENCE_S)

    def store(self) -> Store:
        """A second door to the same database."""
        return Store(self.data / "suppertide.sqlite3")

    def kitchen(self, key: str, kitchen: Kitchen | None = None) -> str:
        """A kitchen that this key opens; its id."""
        home = make_kitchen(self.store(), int(time.time()), _ids("k"), key, kitchen or sample_kitchen())
        return home.kitchen_id

    def bake(self, kitchen_id: str, plan: Plan) -> Plan:
        """A picked bake in that kitchen."""
        store, now = self.store(), int(time.time())
        wish = Wish("2026-11-25T19:30", plan.pans, plan.formula_key)
        if store.bake(kitchen_id, plan.bake_id) is None:
            store.put_offers(kitchen_id, plan.bake_id, to_plain(wish), [to_plain(plan)], now)
        store.add_plan(kitchen_id, plan.bake_id, to_plain(plan), now)
        return plan

    def events(self, kitchen_id: str, bake_id: str) -> list[dict[str, Any]]:
        """The journal as the server holds it."""
        return list(self.store().events(kitchen_id, bake_id))


def copy_of_the_app(folder: Path, file: str, old: str, new: str) -> Path:
    """Another version of the app: a copy with one text in one file changed."""
    for name in ("webapp", "static", "templates"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text, f"{file} does not say {old!r}"
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    return folder


def _ids(letter: str) -> Any:
    return lambda: letter + os.urandom(10).hex()


def shifted(plan: Plan, by_s: int, **changes: Any) -> Plan:
    """The same plan, so many seconds later."""
    rise = replace(
        plan.rise,
        mixed_at=plan.rise.mixed_at + by_s,
        room=tuple(replace(span, start=span.start + by_s) for span in plan.rise.room),
    )
    return replace(
        plan,
        made_at=plan.made_at + by_s,
        supper=plan.supper + by_s,
        ready_at=plan.ready_at + by_s,
        steps=tuple(replace(step, start=step.start + by_s, end=step.end + by_s) for step in plan.steps),
        rise=rise,
        busy=tuple(replace(busy, start=busy.start + by_s, end=busy.end + by_s) for busy in plan.busy),
        **changes,
    )


def plan_at(moment: int, now: int | None = None, bake_id: str = "b" * 22) -> Plan:
    """The sample plan, moved so that its `moment` (an instant of tests/samples.py) is now."""
    now = int(time.time()) if now is None else now
    return shifted(sample_plan(bake_id), now - moment)
