"""Bad luck: a database that is locked, full, damaged, newer or gone; keys that are no keys; a server killed at work."""

from __future__ import annotations

import errno
import os
import signal
import sqlite3
import subprocess
import sys
import threading
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tests.samples import sample_kitchen, sample_plan
from tests.web.conftest import Clock, InKitchen, event
from tests.web.seen import problem_of
from webapp.__main__ import main
from webapp.machine.secret_file import secret_of
from webapp.machine.settings import Settings
from webapp.records import to_plain
from webapp.store.engines import sqlite as base
from webapp.store.failure import why
from webapp.store.store import Store


def said_by(command: str, folder: Path) -> str:
    """What a command that cannot go on tells the person at the terminal."""
    port = ["--port", "0"] if command == "serve" else []
    result = CliRunner().invoke(main, [command, "--data", str(folder), *port])
    assert result.exit_code == 1, result.output
    assert isinstance(result.exception, SystemExit), "a sentence, not a traceback"
    assert result.output.startswith("Error: "), result.output
    return result.output


def damaged(folder: Path) -> None:
    Store(folder / "suppertide.sqlite3")
    file = folder / "suppertide.sqlite3"
    file.write_bytes(b"not a database at all, " * 1000)


def newer(folder: Path) -> None:
    Store(folder / "suppertide.sqlite3")
    with sqlite3.connect(folder / "suppertide.sqlite3") as db:
        db.execute("INSERT INTO schema_done VALUES ('9999_tomorrow.sql')")
    db.close()


def empty(folder: Path) -> None:
    """As a power cut or a full disk leaves it."""
    Store(folder / "suppertide.sqlite3").close()
    (folder / "suppertide.sqlite3").write_bytes(b"")


def short_key(folder: Path) -> None:
    (folder / "session.key").write_bytes(b"short")


def key_folder(folder: Path) -> None:
    (folder / "session.key").mkdir()


@pytest.mark.parametrize(
    ("harm", "words"),
    [
        (damaged, "damaged. Stop the server, keep a copy"),
        (newer, "A newer version of Suppertide has written this database"),
        (empty, "put back a good copy; to begin anew, take the empty file away"),
        (short_key, "holds 5 bytes, not 32"),
        (key_folder, "session.key"),
    ],
)
def test_a_data_folder_that_cannot_be_used_is_named_with_a_way_out(
    tmp_path: Path, harm: Callable[[Path], None], words: str
) -> None:
    harm(tmp_path)
    before = {one.name: one.read_bytes() for one in tmp_path.glob("*.sqlite3")}
    said = said_by("serve", tmp_path)
    assert words in said
    assert str(tmp_path) in said
    assert {one.name: one.read_bytes() for one in tmp_path.glob("*.sqlite3")} == before, "nothing was touched"


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_folder_that_cannot_be_made_asks_for_another(tmp_path: Path, command: str) -> None:
    (tmp_path / "a file").write_text("in the way")
    said = said_by(command, tmp_path / "a file" / "below")
    assert "cannot be used" in said
    assert "--data FOLDER" in said


def test_a_full_disk_is_called_full_and_leaves_no_half_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("webapp.machine.secret_file.os.fsync", full)
    assert "The disk is full" in said_by("serve", tmp_path)
    assert list(tmp_path.glob("session.key*")) == []


@pytest.mark.skipif(os.name != "posix", reason="Modes are a matter of POSIX.")
def test_a_key_that_others_may_read_is_taken_away_from_them(tmp_path: Path) -> None:
    secret = secret_of(tmp_path / "x.key")
    (tmp_path / "x.key").chmod(0o644)
    assert secret_of(tmp_path / "x.key") == secret
    assert (tmp_path / "x.key").stat().st_mode & 0o777 == 0o600


def test_a_folder_without_hard_links_still_gets_its_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr("webapp.machine.secret_file.os.link", no_links)
    assert secret_of(tmp_path / "x.key") == secret_of(tmp_path / "x.key")
    assert [one.name for one in tmp_path.iterdir()] == ["x.key"]


def test_every_way_a_file_fails_has_words_and_a_fault_of_ours_has_none(tmp_path: Path) -> None:
    path = tmp_path / "x.sqlite3"
    Store(path)
    reader = base.connect(path)
    reader.execute("PRAGMA query_only = ON")
    with pytest.raises(sqlite3.OperationalError) as only_read:
        reader.execute("DELETE FROM kitchens")
    with pytest.raises(sqlite3.OperationalError) as missing:
        base.connect(tmp_path / "gone.sqlite3")
    with pytest.raises(sqlite3.OperationalError) as ours:
        reader.execute("SELECT * FROM no_such_table")
    reader.close()
    assert "only be read" in (why(only_read.value) or ("",))[0]
    assert "cannot be opened" in (why(missing.value) or ("",))[0]
    assert why(ours.value) is None
    assert not (tmp_path / "gone.sqlite3").exists()


@pytest.mark.of_a_file
def test_a_locked_database_is_said_and_the_same_tap_works_afterwards(
    kitchen: InKitchen, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    bake_id = kitchen.has_a_bake()
    monkeypatch.setattr(base, "_BUSY_S", 0.05)
    kitchen.store.close()  # connections of before wait longer
    other = base.connect(settings.database_file)
    other.execute("BEGIN IMMEDIATE")
    tap = event(bake_id)
    answer = kitchen.sends(bake_id, tap)
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "10")
    assert "Another program holds the database" in problem_of(answer)["message"]
    form = kitchen.posts("/settings/oven/preheat", {"minutes": "40"}, page="/settings/oven")
    assert form.status_code == 503
    assert "still in the form" in form.text
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 200, "reading never waits"
    other.execute("ROLLBACK")
    other.close()
    assert kitchen.sends(bake_id, tap).status_code == 200


@pytest.mark.of_a_file
def test_a_full_disk_while_serving_loses_nothing_that_was_acknowledged(
    kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch
) -> None:
    bake_id = kitchen.has_a_bake()
    connect = base.connect

    def small(path: Path, reads_only: bool = False) -> sqlite3.Connection:
        connection = connect(path, reads_only)
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")
        return connection

    monkeypatch.setattr(base, "connect", small)
    kitchen.store.close()  # connections of before know no end
    taken: list[dict[str, Any]] = []
    for _ in range(60):
        sent = event(bake_id, "note", text="x" * 1900)
        answer = kitchen.sends(bake_id, sent)
        if answer.status_code != 200:
            break
        taken.append(sent)
    assert answer.status_code == 503
    assert "full" in problem_of(answer)["message"]
    assert kitchen.get("/").status_code == 200
    assert [one["event_id"] for one in kitchen.lines(bake_id)] == [one["event_id"] for one in taken]
    monkeypatch.undo()
    kitchen.store.close()
    assert kitchen.sends(bake_id, sent).status_code == 200


@pytest.mark.of_a_file
def test_a_file_that_went_away_comes_back_as_it_was_and_not_empty(kitchen: InKitchen, settings: Settings) -> None:
    bake_id = kitchen.has_a_bake()
    aside = settings.database_file.with_suffix(".aside")
    settings.database_file.rename(aside)
    assert problem_of(kitchen.get("/api/bakes"))["message"].startswith("The database cannot be opened.")
    watcher = kitchen.get("/health")
    assert watcher.status_code == 503
    problem_of(watcher)
    assert kitchen.get("/").status_code == 503
    assert not settings.database_file.exists()
    aside.rename(settings.database_file)
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 200


WRITES_UNTIL_KILLED = """
import sys
from pathlib import Path
from tests.web.conftest import event
from webapp.records import from_plain
from webapp.core.plan.event import Event
from webapp.store.store import Store
from webapp.kitchens.bakes import add_to_journal
store = Store(Path(sys.argv[1]))
while True:
    one = event("bake", "note", text="x")
    add_to_journal(store, one["at"], "k", "bake", [from_plain(Event, one)])
    print(one["event_id"], flush=True)
"""


def test_a_server_killed_at_work_has_kept_everything_it_acknowledged(tmp_path: Path) -> None:
    path = tmp_path / "x.sqlite3"
    store, plan = Store(path), to_plain(sample_plan("bake"))
    store.add_kitchen("k", to_plain(sample_kitchen()), 0)
    store.put_offers("k", "bake", {}, [plan], 0)
    store.add_plan("k", "bake", plan | {"revision": 1}, 0)
    worker = subprocess.Popen(
        [sys.executable, "-c", WRITES_UNTIL_KILLED, str(path)], stdout=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent.parent)},
    )  # fmt: skip
    assert worker.stdout is not None
    told = [worker.stdout.readline().strip() for _ in range(20)]
    worker.send_signal(signal.SIGKILL)
    told += worker.stdout.read().split()  # what it had said before it died
    worker.wait()
    worker.stdout.close()
    again = Store(path)
    kept = [one["event_id"] for one in again.events("k", "bake")]
    assert "" not in told
    assert set(told) <= set(kept)
    assert len(kept) <= len(told) + 1, "at most the one in hand"
    with again.reading() as db:
        assert db.exec_driver_sql("PRAGMA integrity_check").fetchone()[0] == "ok"


def test_many_phones_at_once_over_two_servers_lose_and_double_nothing(settings: Settings) -> None:
    stores = Store(settings.database_file), Store(settings.database_file)
    plan = to_plain(sample_plan("bake"))
    stores[0].add_kitchen("k", to_plain(sample_kitchen()), 0)
    stores[0].put_offers("k", "bake", {}, [plan], 0)
    stores[0].add_plan("k", "bake", plan | {"revision": 1}, 0)
    lines = [event("bake", "note", text=str(i)) for i in range(80)]
    new: Counter[int] = Counter()

    def phone(number: int) -> None:
        mine = lines[number * 10 : number * 10 + 20] or lines  # each line is sent by two phones
        for one in mine:
            new[number] += stores[number % 2].add_events("k", "bake", [one], 0)

    threads = [threading.Thread(target=phone, args=(i,)) for i in range(8)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    kept = stores[1].events("k", "bake")
    assert sorted(one["event_id"] for one in kept) == sorted(one["event_id"] for one in lines)
    assert sum(new.values()) == len(lines), "each line was new exactly once"


@pytest.mark.parametrize("instant", [0, -3600, 946_684_800, 7_258_118_395])
def test_a_server_whose_clock_is_decades_off_still_shows_every_page(
    kitchen: InKitchen, clock: Clock, instant: int
) -> None:
    bake_id = kitchen.has_a_bake()
    clock.now = instant
    pages = ("/", f"/bakes/{bake_id}", f"/bakes/{bake_id}/print", f"/bakes/{bake_id}/bake.ics", f"/book/{bake_id}",
             "/book", "/week", "/reminders", "/join", "/settings", "/larder", "/export.json", "/api/bakes",
             f"/api/bakes/{bake_id}/bundle")  # fmt: skip
    for page in pages:
        assert kitchen.get(page, follow_redirects=True).status_code == 200, page
