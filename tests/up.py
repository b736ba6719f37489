"""Set up a checkout and run every check: `python3 -m tests.up`; with `--thorough`, many more examples.

Anything else that is given goes to pytest and is all that is run: `python3 -m tests.up tests/core -k rise`.

Runs on a bare Python 3.11 or newer: makes `.venv`, installs the pinned packages of `tests/requirements.txt`, finds a
browser on PATH or installs one, then runs lint, types, import contracts, unit tests with coverage of the core, and
browser tests. Stops at the first set-up failure with a sentence; runs all checks, some side by side, and fails if any
failed. No check gets a second try.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from webapp.up import ROOT, SetUpError, ensure_environment

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
IN_MEMORY = Path("/dev/shm")
LANES = 3  # checks side by side: one in three waits, for a page to be drawn or a server to answer
ROOM_BYTES = 2 << 30  # a container's usual 64 MB would not hold what browsers and databases write
SHELLS = ("chromium-headless-shell", "chrome-headless-shell")  # the same engine without a window: half the time


def _run(command: Sequence[str], **environment: str) -> int:
    print(f"\n--- {' '.join(Path(command[0]).name if i == 0 else c for i, c in enumerate(command))}", flush=True)
    return subprocess.run(command, cwd=ROOT, check=False, env={**os.environ, **environment}).returncode


def on_path(names: Sequence[str]) -> str | None:
    """The first of these programs that is on PATH."""
    return next((found for name in names if (found := shutil.which(name))), None)


def _playwright_browser(python: Path) -> bool:
    code = (
        "from pathlib import Path; from playwright.sync_api import sync_playwright as s\n"
        "with s() as p: raise SystemExit(not Path(p.chromium.executable_path).exists())"
    )
    return subprocess.run([str(python), "-c", code], cwd=ROOT, check=False, capture_output=True).returncode == 0


def _install_by_apt(*packages: str) -> None:
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        _run(["apt-get", "update", "-qq"])
        _run(["apt-get", "install", "-y", "-qq", *packages], DEBIAN_FRONTEND="noninteractive")


def ensure_browser(python: Path) -> None:
    """A browser for the e2e tests: on PATH, else Playwright's own, else the system's package; else a clear stop."""
    if on_path(BROWSERS) or _playwright_browser(python):
        return
    _install_by_apt("chromium")
    if on_path(BROWSERS):
        return
    _run([str(python), "-m", "playwright", "install", "chromium"])
    if not _playwright_browser(python):
        raise SetUpError(
            "No browser for the browser tests. Install Chromium or Chrome so that it is on PATH "
            "(Debian: apt-get install chromium), then run this again."
        )


def ensure_certutil() -> None:
    """What fills a browser's own list of certificates, for the test of a phone at home, where it can be installed."""
    if not shutil.which("certutil"):
        _install_by_apt("libnss3-tools")


def ensure_shell() -> None:
    """The browser's shell beside a system's browser, where it can be had: without it the tests only take longer."""
    if on_path(BROWSERS) and not on_path(SHELLS):
        _install_by_apt(SHELLS[0])


@contextmanager
def quick_folder() -> Iterator[None]:
    """What tests write lies in memory where there is enough: databases that wait for no disk take half the time."""
    roomy = IN_MEMORY.is_dir() and os.access(IN_MEMORY, os.W_OK) and shutil.disk_usage(IN_MEMORY).free > ROOM_BYTES
    before = os.environ.get("TMPDIR")
    if not roomy or before:
        yield
        return
    with tempfile.TemporaryDirectory(prefix="tests-", dir=IN_MEMORY, ignore_cleanup_errors=True) as folder:
        os.environ["TMPDIR"] = folder
        try:
            yield
        finally:
            del os.environ["TMPDIR"]


def compile_once() -> None:
    """Modules are compiled once for all checks: each server that a test starts would do it anew, which takes it two
    seconds of a core where a shell says that nothing compiled is kept."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


@dataclass(frozen=True)
class Check:
    """One command, what it is called, and what it said."""

    name: str
    command: tuple[str, ...]

    def run(self) -> bool:
        """Run it and print what it said in one piece, so that those side by side do not talk into each other."""
        begun = time.monotonic()
        done = subprocess.run(self.command, cwd=ROOT, check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        passed = done.returncode == 0
        head = f"\n--- {self.name}: {'passed' if passed else 'FAILED'} in {time.monotonic() - begun:.0f} s\n"
        sys.stdout.buffer.write(head.encode() + done.stdout)
        sys.stdout.flush()
        return passed


def checks(python: Path, more: Sequence[str] = ()) -> list[Check]:
    """All of them, the longest first: the cores are then busy to the end."""
    tool = python.parent
    pytest = (str(python), "-m", "pytest", "-q")
    core = ("tests/core", "tests/planning")  # these must see every line of webapp/core by themselves
    seen = ("-m", "not many_cases", "--cov", "--cov-report=term", "--cov-fail-under=100")  # four times as slow watched
    # The rest in pieces of about the same processor time, so that no lane goes on for long when the others are through.
    planned, rings = ("tests/web/plan",), ("tests/reminders", "tests/web/reminders")
    pages = ("tests/web", *_without(*planned, *rings))
    others = ("tests", *_without(*core, "tests/web", *rings))
    return [
        *(Check(f"browser tests, part {n + 1}", (*pytest, *part)) for n, part in enumerate(_browser_parts())),
        Check("tests of the core", (*pytest, *core, *more, *seen)),
        Check("other tests", (*pytest, *others, *more)),
        Check("tests of what rings", (*pytest, *rings, *more)),
        Check("tests of other pages", (*pytest, *pages, *more)),
        Check("tests of the pages of a plan", (*pytest, *planned, *more)),
        Check("the core over many cases", (*pytest, *core, *more, "-m", "many_cases")),
        Check("types", (str(tool / "mypy"),)),
        Check("import contracts", (str(tool / "lint-imports"),)),
        Check("lint", (str(tool / "ruff"), "check", ".")),
        Check("format", (str(tool / "ruff"), "format", "--check", ".")),
    ]


def _without(*folders: str) -> list[str]:
    return [f"--ignore={folder}" for folder in folders]


def _browser_parts() -> list[list[str]]:
    """The files of e2e/ dealt out to two, so that each part has a browser and a server of its own."""
    files = sorted(path.relative_to(ROOT).as_posix() for path in (ROOT / "e2e").glob("test_*.py"))
    return [files[::2], files[1::2]]


def main() -> None:
    """Set up, then run every check."""
    python = ensure_environment(ROOT / "tests" / "requirements.txt")
    ensure_browser(python)
    ensure_certutil()
    ensure_shell()
    compile_once()
    asked = sys.argv[1:]
    if asked not in ([], ["--thorough"]):  # a chosen part, for work on it
        with quick_folder():
            raise SystemExit(_run([str(python), "-m", "pytest", *asked]))
    every = checks(python, asked)
    with quick_folder(), ThreadPoolExecutor(max_workers=LANES) as lanes:
        passed = list(lanes.map(Check.run, every))
    failed = [check.name for check, fine in zip(every, passed, strict=True) if not fine]
    if failed:
        raise SystemExit(f"\nFailed: {'; '.join(failed)}")
    print("\nEverything passed.")


if __name__ == "__main__":
    main()
