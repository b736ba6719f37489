"""Set up a checkout and start the app: `python3 -m webapp.up [serve options]`.

Runs on a bare Python 3.11 or newer with nothing installed: makes `.venv` in the checkout, installs the pinned
packages of `webapp/deploy/requirements.txt` into it, then hands over to `suppertide serve`. A second start with the
same pins goes straight to the server. `tests/up.py` uses the same steps with the tests' pins.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST_PYTHON = (3, 11)


class SetUpError(SystemExit):
    """Set-up cannot go on; the text says why and what to do."""


def venv_python() -> Path:
    """The interpreter inside `.venv`, where it is on this system."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def _stamp(requirements: Path) -> str:
    pins = (requirements.read_bytes(), (ROOT / "pyproject.toml").read_bytes())
    parts = (*pins, sys.version.encode(), str(ROOT).encode())
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def _make_venv() -> None:
    try:
        venv.create(VENV, with_pip=True)
    except (OSError, subprocess.CalledProcessError) as error:
        raise SetUpError(
            f"Cannot make a virtual environment in {VENV}: {error}\n"
            "On Debian and Ubuntu: apt-get install python3-venv, delete the folder .venv, then run this again."
        ) from error


def _pip_install(*arguments: str) -> None:
    # Fixed arguments, no shell; the interpreter is the one just made.
    command = [str(venv_python()), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *arguments]
    if subprocess.run(command, cwd=ROOT, check=False).returncode:  # noqa: S603
        raise SetUpError("Installing the pinned packages failed (see above). Is there a network? Then run this again.")


def ensure_environment(requirements: Path) -> Path:
    """Make `.venv` hold exactly what `requirements` pins, plus this checkout; return its interpreter.

    Raises SetUpError with a sentence to act on when Python is too old or a step fails.
    """
    if sys.version_info < OLDEST_PYTHON:
        wanted = ".".join(str(n) for n in OLDEST_PYTHON)
        raise SetUpError(f"Suppertide needs Python {wanted} or newer; this is {sys.version.split()[0]}.")
    stamp_file = VENV / f"{requirements.parent.name}.stamp"
    stamp = _stamp(requirements)
    if venv_python().exists() and stamp_file.exists() and stamp_file.read_text() == stamp:
        return venv_python()
    print("Setting up (once; a few minutes on a slow line) ...", flush=True)
    if not venv_python().exists():
        _make_venv()
    _pip_install("--requirement", str(requirements))
    # No build isolation: the build backend is pinned in the requirements like everything else.
    _pip_install("--no-deps", "--no-build-isolation", "--editable", str(ROOT))
    stamp_file.write_text(stamp)
    return venv_python()


def main() -> None:
    """Set up, then become the server."""
    python = ensure_environment(ROOT / "webapp" / "deploy" / "requirements.txt")
    command = [str(python), "-m", "webapp", "serve", *sys.argv[1:]]
    if os.name == "nt":  # no exec on Windows: the server runs as a child
        raise SystemExit(subprocess.run(command, cwd=ROOT, check=False).returncode)  # noqa: S603
    os.chdir(ROOT)
    os.execv(command[0], command)  # noqa: S606


if __name__ == "__main__":
    main()
