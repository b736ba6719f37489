"""Sixteen clients that abuse a server, of eight kinds, and what the others notice. Run by hand.

    python -m tests.bench.abuse [SECONDS [planners] [costs]]

Slow heads, slow bodies, connections with nothing, HTTP/2 that is not read, dear GETs, dear POSTs, plain pages without
end, bodies that are too long: two of each, each from an address of its own, all at once for so many seconds. Meanwhile
`/health` is asked ten times a second, and somebody at another address opens a plain page and the home page. Wanted:
health within half a second. A bare server of the standard library, which nobody abuses, is asked as often: what that
one takes is the machine's doing. After that the server is stopped, which must take it seconds and end with status 0.
With `planners` all sixteen ask for suppers, weeks and forms that nobody asked for before, four at a time each.
With `costs` also what each GET and POST costs beside a plain page (tests/bench/abuse/costs.py), wanted 30 and 100.
"""

from __future__ import annotations

import multiprocessing
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx

from tests.bench.abuse.clients import KINDS, PLANNERS, sixteen
from tests.bench.abuse.costs import ratios

ROOT = Path(__file__).resolve().parents[3]
BARE = "(bare)"
_BESIDE = {"/health": 0.1, BARE: 0.1, "/more": 1.0, "/": 5.0}  # what the others ask, and after how many seconds again


def log_of(data: Path) -> Path:
    """What the server with this data folder has to say, but its access log."""
    return data / "bench.log"


def started(data: Path, *options: str) -> tuple[subprocess.Popen[bytes], str]:
    """A server that answers, and its address."""
    command = [sys.executable, "-m", "webapp", "serve", "--port", "0", "--data", str(data), *options]
    with log_of(data).open("wb") as log:
        process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=log)
    note = data / "port.txt"
    while not note.exists() or not note.read_text().strip():
        assert process.poll() is None
        time.sleep(0.1)
    return process, f"http://127.0.0.1:{note.read_text().strip()}"


@contextmanager
def a_bare_server() -> Iterator[str]:
    """Its address; a process of its own."""
    code = "from http.server import *; s = HTTPServer(('127.0.0.1', 0), BaseHTTPRequestHandler);"
    code += "print(s.server_port, flush=True); s.serve_forever()"
    command = [sys.executable, "-c", code]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as process:
        assert process.stdout
        yield f"http://127.0.0.1:{process.stdout.readline().strip()}/"
        process.kill()


def noticed(url: str, bare: str, seconds: float) -> None:
    """Print how long each of `_BESIDE` took, asked for so long."""
    took: dict[str, list[float]] = {path: [] for path in _BESIDE}
    wrong: list[int] = []
    due = dict.fromkeys(_BESIDE, time.monotonic())
    until = time.monotonic() + seconds
    with httpx.Client(timeout=60) as client:
        while (now := time.monotonic()) < until:
            path = min(due, key=lambda one: due[one])
            time.sleep(max(0.0, due[path] - now))
            begun = time.perf_counter()
            address = bare if path == BARE else f"{url}{path}"
            status = client.get(address, headers={"Connection": "close"}).status_code
            took[path].append(time.perf_counter() - begun)
            wrong += [status] if status != (501 if path == BARE else 200) else []
            due[path] = time.monotonic() + _BESIDE[path]
    for path, times in took.items():
        middle, worst = statistics.median(times), max(times)
        print(f"  {path:8} {len(times):4} times: middle {middle * 1000:6.0f} ms, worst {worst * 1000:6.0f} ms")
    print(f"  refused or failed: {wrong}")


def memory_mb(process: subprocess.Popen[bytes]) -> float:
    """Resident memory of a process (proc(5))."""
    (line,) = [one for one in Path(f"/proc/{process.pid}/status").read_text().splitlines() if one.startswith("VmRSS")]
    return int(line.split()[1]) / 1024


def main() -> None:
    """Measure and print."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    kinds = PLANNERS if "planners" in sys.argv else KINDS
    with tempfile.TemporaryDirectory() as data, a_bare_server() as bare:
        process, url = started(Path(data))
        try:
            print("in peace")
            noticed(url, bare, 10)
            before = memory_mb(process)
            print(f"with sixteen at work for {seconds:.0f} s")
            port = int(url.rpartition(":")[2])
            them = multiprocessing.Process(target=sixteen, args=(port, seconds + 5, kinds))
            them.start()
            time.sleep(5)
            noticed(url, bare, seconds)
            print(f"  memory {before:.0f} MB before, {memory_mb(process):.0f} MB now")
            begun = time.monotonic()
            process.send_signal(signal.SIGTERM)
            status = process.wait(60)
            print(f"stopped among them in {time.monotonic() - begun:.1f} s with status {status}")
            them.join()
        finally:
            process.kill()
            process.wait()
    if "costs" in sys.argv:
        ratios()


if __name__ == "__main__":
    main()
