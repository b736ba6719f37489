"""The JSON API against schemathesis, by its own description: 5,000 cases, every check, no failure. Run by hand.

    python -m tests.by_hand.fuzz_api [CASES]

schemathesis is kept in an environment of its own, outside of this folder, with the packages that
tests/by_hand/fuzz_api.txt pins: what it needs shall never meet what the app needs. The server is the real one, on a
database in a temporary folder, with some picked bakes of one kitchen; how often an address may ask is not asked here.
Ends with 1 when a check failed or fewer cases than wanted were tried.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import venv
from datetime import date, timedelta
from pathlib import Path

from tests.server.running import Running, running
from tests.web.conftest import InKitchen
from webapp.machine.settings import Settings
from webapp.web.app import addresses_of, create_app
from webapp.web.phone.described.openapi import openapi

HERE = Path(__file__).resolve().parent
PINNED = HERE / "fuzz_api.txt"
ROOM = Path(tempfile.gettempdir()) / "suppertide-fuzz"
BAKES = 6  # on as many evenings; a journal ends at 2,000 events


def environment() -> Path:
    """Its programs' folder, set up on first use."""
    made, programs = ROOM / "pinned.txt", ROOM / "venv" / ("Scripts" if os.name == "nt" else "bin")
    if not made.exists() or made.read_text(encoding="utf-8") != PINNED.read_text(encoding="utf-8"):
        venv.create(ROOM / "venv", clear=True, with_pip=True)
        subprocess.run([programs / "python", "-m", "pip", "install", "-q", "-r", PINNED], check=True)
        made.write_text(PINNED.read_text(encoding="utf-8"), encoding="utf-8")
    return programs


def baked(settings: Settings) -> tuple[str, list[str]]:
    """The key of a kitchen, and its bakes as "id instant of supper"."""
    app = create_app(settings)
    app.extensions["suppertide-limits"].enabled = False
    kitchen = InKitchen(app.test_client())
    for days in range(1, BAKES + 1):
        kitchen.picks(kitchen.plans({"supper": f"{date.today() + timedelta(days=days)}T19:30"}))
    rows = kitchen.get("/api/bakes").json["bakes"]  # type: ignore[index]  # it answers JSON
    key = kitchen.client.get_cookie("suppertide")
    assert key
    return key.value, [f"{row['bake_id']} {row['supper']}" for row in rows]


def run(server: Running, key: str, bakes: list[str], cases: int, folder: Path) -> int:
    """What schemathesis leaves with."""
    app = server.house._front._app
    app.extensions["suppertide-limits"].enabled = False  # type: ignore[attr-defined]  # it is the Flask app
    described = folder / "openapi.json"
    described.write_text(json.dumps(openapi(addresses_of(app))), encoding="utf-8")  # type: ignore[arg-type]
    operations = sum(len(path) for path in json.loads(described.read_text())["paths"].values())
    environ = os.environ | {
        "SCHEMATHESIS_HOOKS": "fuzz_api_hooks", "PYTHONPATH": str(HERE), "FUZZ_BAKES": ",".join(bakes),
        "FUZZ_KEY": key, "FUZZ_COUNT": str(folder / "count.txt"), "PYTHONWARNINGS": "ignore",
    }  # fmt: skip
    # Its first and last phases add more than as many again.
    command = [
        environment() / "schemathesis", "--config-file", HERE / "fuzz_api.toml", "run", described,
        "--url", server.plain, "--max-examples", str(cases // (2 * operations)), *sys.argv[2:],
    ]  # fmt: skip
    return subprocess.run(list(map(str, command)), env=environ, cwd=folder).returncode


def main() -> int:
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        settings = Settings(data=folder / "data", threads=4)
        settings.data.mkdir()
        key, bakes = baked(settings)
        with running(settings) as server:
            left = run(server, key, bakes, cases, folder)
        tried = int((folder / "count.txt").read_text())
    print(f"{tried} cases tried")
    return left or int(tried < cases)


if __name__ == "__main__":
    sys.exit(main())
