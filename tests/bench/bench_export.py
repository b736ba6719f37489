"""Taking years of bakes along: what it costs the server's memory, and everybody else.

    .venv/bin/python -m tests.bench.bench_export [BAKES [ADDRESSES]]

A kitchen of so many bakes (700), each with two plans and twenty lines of its journal, is asked for from so many
addresses (6) at once, while somebody else asks for `/health`. Prints bytes, seconds, and the most memory that the
process had before and meanwhile.
"""

from __future__ import annotations

import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import httpx

from e2e.server import Server
from tests.samples import sample_plan
from webapp.core.kitchen import Wish
from webapp.records import to_plain
from webapp.web.door import COOKIE

_KEY = "k" * 40
_LINES = 20


def most_mb(process_id: int) -> float:
    """Most resident memory of a process so far (proc(5))."""
    lines = Path(f"/proc/{process_id}/status").read_text().splitlines()
    return int(next(one for one in lines if one.startswith("VmHWM")).split()[1]) / 1024


def furnish(server: Server, bakes: int) -> None:
    """A kitchen of years."""
    owner, store, plan = server.kitchen(_KEY), server.store(), sample_plan("")
    with store.transaction():
        for number in range(bakes):
            made = replace(plan, bake_id=f"bake-{number}", supper=plan.supper)
            store.put_offers(
                owner, made.bake_id, to_plain(Wish("2026-11-25T19:30", made.pans, made.formula_key)), [], 1
            )
            for revision in (1, 2):
                store.add_plan(owner, made.bake_id, to_plain(made) | {"revision": revision}, 1)
            lines = [
                {"event_id": f"e{number}-{line}", "bake_id": made.bake_id, "at": made.supper + line, "kind": "note"}
                | {"data": {"text": f"line {number * line} of what was seen of this dough"}}
                for line in range(_LINES)
            ]
            store.add_events(owner, made.bake_id, lines, 1)
    store.close()


def taken(server: Server, address: str, takes: str) -> tuple[int, float]:
    """Bytes on the way, and seconds."""
    begun = time.monotonic()
    way = httpx.HTTPTransport(local_address=address)
    with (
        httpx.Client(transport=way, cookies={COOKIE: _KEY}, timeout=120, headers={"Accept-Encoding": takes}) as one,
        one.stream("GET", f"{server.url}/export.json") as answer,
    ):
        answer.raise_for_status()
        return sum(map(len, answer.iter_raw())), time.monotonic() - begun


def main() -> None:
    """Measure and print."""
    bakes, addresses = (int(one) for one in (*sys.argv[1:], *("700", "6")[len(sys.argv) - 1 :]))
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(addresses) as threads:
        server = Server(Path(folder)).start()
        assert server.process
        try:
            furnish(server, bakes)
            before, health = most_mb(server.process.pid), list[float]()
            for takes in ("identity", "gzip"):
                asked = [threads.submit(taken, server, f"127.0.9.{1 + n}", takes) for n in range(addresses)]
                while not all(one.done() for one in asked):
                    begun = time.monotonic()
                    httpx.get(f"{server.url}/health").raise_for_status()
                    health.append(time.monotonic() - begun)
                    time.sleep(0.05)
                sent, took = zip(*(one.result() for one in asked), strict=True)
                print(f"{takes}: {sent[0]:,} bytes, {addresses} at once in {min(took):.1f} to {max(took):.1f} s")
            print(f"memory {before:.0f} MB before, {most_mb(server.process.pid):.0f} at most")
            print(f"/health meanwhile: {max(health) * 1000:.0f} ms at worst")
        finally:
            server.kill()


if __name__ == "__main__":
    main()
