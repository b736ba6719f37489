"""Set up a checkout and run every check: `python3 -m tests.up [--fast] [pytest arguments]`.

Runs on a bare Python 3.11 or newer: makes `.venv`, installs the pinned packages of `tests/requirements.txt`, finds a
browser on PATH or installs one, then runs lint, types, import contracts, unit tests with coverage of the core, and
browser tests. Stops at the first set-up failure with a sentence; runs all checks and fails if any failed.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from webapp.up import ROOT, SetUpError, ensure_environment

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")


def _run(command: Sequence[str], **environment: str) -> int:
    print(f"\n--- {' '.join(Path(command[0]).name if i == 0 else c for i, c in enumerate(command))}", flush=True)
    return subprocess.run(command, cwd=ROOT, check=False, env={**os.environ, **environment}).returncode


def _browser_on_path() -> str | None:
    return next((found for name in BROWSERS if (found := shutil.which(name))), None)


def _playwright_browser(python: Path) -> bool:
    code = (
        "from pathlib import Path; from playwright.sync_api import sync_playwright as s\n"
        "with s() as p: raise SystemExit(not Path(p.chromium.executable_path).exists())"
    )
    return subprocess.run([str(python), "-c", code], cwd=ROOT, check=False, capture_output=True).returncode == 0


def _install_by_apt() -> None:
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        _run(["apt-get", "update", "-qq"])
        _run(["apt-get", "install", "-y", "-qq", "chromium"], DEBIAN_FRONTEND="noninteractive")


def ensure_browser(python: Path) -> None:
    """A browser for the e2e tests: on PATH, else Playwright's own, else the system's package; else a clear stop."""
    if _browser_on_path() or _playwright_browser(python):
        return
    _install_by_apt()
    if _browser_on_path():
        return
    _run([str(python), "-m", "playwright", "install", "chromium"])
    if not _playwright_browser(python):
        raise SetUpError(
            "No browser for the browser tests. Install Chromium or Chrome so that it is on PATH "
            "(Debian: apt-get install chromium), then run this again."
        )


def ensure_certutil() -> None:
    """What fills a browser's own list of certificates, for the test of a phone at home, where it can be installed."""
    if not shutil.which("certutil") and shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        _run(["apt-get", "update", "-qq"])
        _run(["apt-get", "install", "-y", "-qq", "libnss3-tools"], DEBIAN_FRONTEND="noninteractive")


def _passes(check: Sequence[str]) -> bool:
    """Run a check. Browser tests that failed get one more try, alone: a busy machine can starve a browser.

    A test that passes only then is named loudly by the first run's report; one that fails twice has failed.
    """
    if _run(check) == 0:
        return True
    if "e2e" not in check:
        return False
    print("\nBrowser tests failed (see above). Once more, one at a time, only those:", flush=True)
    return _run([*check[: check.index("e2e") + 1], "--last-failed", "--last-failed-no-failures", "none"]) == 0


def main() -> None:
    """Set up, then run every check."""
    python = ensure_environment(ROOT / "tests" / "requirements.txt")
    ensure_browser(python)
    ensure_certutil()
    tool = python.parent
    checks: list[list[str]] = [
        [str(tool / "ruff"), "check", "."],
        [str(tool / "ruff"), "format", "--check", "."],
        [str(tool / "mypy")],
        [str(tool / "lint-imports")],
        [str(python), "-m", "pytest", "tests", "-n", "2", "--cov", "--cov-report=term", "--cov-fail-under=100"],
        [str(python), "-m", "pytest", "e2e", "-n", "2"],
    ]
    if sys.argv[1:]:  # a chosen part, for work on it
        checks = [[str(python), "-m", "pytest", *sys.argv[1:]]]
    failed = [" ".join(check[1:4]) for check in checks if not _passes(check)]
    if failed:
        raise SystemExit(f"\nFailed: {'; '.join(failed)}")


if __name__ == "__main__":
    main()
