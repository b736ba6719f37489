"""Backup and restore as `webapp/deploy/README.md` tells them: its own lines are run, and the kitchen is there again."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import httpx
import pytest

from tests.home import Home
from tests.samples import sample_kitchen
from tests.server.deploy.files import blocks
from tests.server.running import running
from webapp.kitchens.access import hash_of
from webapp.machine.settings import Settings
from webapp.records import to_plain

pytestmark = pytest.mark.skipif(os.name == "nt", reason="the page is for a server with systemd or in a container")
KEY_OF_PHONE = "k" * 43
SERVED = 'suppertide serve --data "$DATA"\n'


@pytest.fixture
def programs(tmp_path: Path) -> Path:
    """A folder with a `python3`, as the page calls it."""
    folder = tmp_path / "programs"
    folder.mkdir()
    (folder / "python3").symlink_to(sys.executable)
    return folder


def run(script: str, folder: Path, programs: Path, **names: Path) -> None:
    """As typed into a shell, where the first line that fails ends it."""
    environ = {"PATH": f"{programs}:/usr/bin:/bin"} | {name: str(path) for name, path in names.items()}
    subprocess.run(["sh", "-eu", "-c", script], cwd=folder, env=environ, check=True)


def there(data: Path) -> tuple[int, int]:
    """Households and lines of journals in a database that is whole."""
    with closing(sqlite3.connect(data / "suppertide.sqlite3")) as opened:
        assert opened.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        kitchens = opened.execute("SELECT count(*) FROM kitchens").fetchone()[0]
        return int(kitchens), int(opened.execute("SELECT count(*) FROM events").fetchone()[0])


def test_a_backup_taken_while_the_server_writes_is_restored_with_bake_keys_and_phone(
    tmp_path: Path, programs: Path
) -> None:
    data, backup, restored = tmp_path / "data", tmp_path / "backup", tmp_path / "restored"
    with running(Settings(data=data)) as server:
        httpx.get(f"{server.plain}/join")  # a page with a form: session.key is there
        home = Home(data)
        home.store.add_phone(home.kitchen_id, "phone-2", hash_of(KEY_OF_PHONE), "Phone 2", home.now)
        plan = home.plan()
        home.did(plan, "done", plan.rise.mixed_at, step_id="mix")
        sealed = home.box.seal("a feed's address")
        with writing(home):
            run(blocks("Backup")[0], data, programs, BACKUP=backup)
        home.did(plan, "note", plan.rise.mixed_at + 60, text="after the backup")
    assert there(backup) == (1, 1)
    keys = {path.name: path.read_bytes() for path in data.glob("*.key")}
    assert {"secretbox.key", "session.key"} <= set(keys)
    shutil.rmtree(data)
    restore = blocks("Restore")[0]
    assert restore.endswith(SERVED), "the server that the last line starts is started below"
    run(restore.removesuffix(SERVED), tmp_path, programs, BACKUP=backup, DATA=restored)
    assert {path.name: path.read_bytes() for path in restored.glob("*.key")} == keys
    assert {stat.S_IMODE(path.stat().st_mode) for path in restored.glob("*.key")} == {0o600}
    assert stat.S_IMODE(restored.stat().st_mode) == 0o700
    with running(Settings(data=restored)) as server:
        assert Home(restored).box.open(sealed) == "a feed's address"
        events = f"{server.plain}/api/bakes/{plan.bake_id}/events"
        assert httpx.get(events).status_code == 401, "a stranger is told nothing"
        lines = httpx.get(events, cookies={"suppertide": KEY_OF_PHONE}).json()["events"]
        assert [line["kind"] for line in lines] == ["done"]


@contextmanager
def writing(home: Home) -> Iterator[None]:
    """Meanwhile settings are saved, one time after the other."""
    over, begun = threading.Event(), threading.Event()

    def go_on() -> None:
        while not over.is_set():
            home.store.save_settings(home.kitchen_id, to_plain(sample_kitchen()))
            begun.set()

    writer = threading.Thread(target=go_on)
    writer.start()
    try:
        assert begun.wait(20)
        yield
    finally:
        over.set()
        writer.join()
