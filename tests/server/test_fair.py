"""Whose turn it is: one client after the other where much is worked, and nobody kept out by somebody else."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from typing import Any

from webapp.server.fair import Crowded, Fair, Households
from webapp.server.front import Front


def test_one_client_takes_half_of_the_places_and_others_still_come_in() -> None:
    async def see() -> None:
        fair, inside, leave = Fair(4), [], asyncio.Event()

        async def visit(client: str) -> None:
            async with fair.turn(client):
                inside.append(client)
                await leave.wait()

        greedy = [asyncio.create_task(visit("greedy")) for _ in range(20)]
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        assert inside == ["greedy"] * 2
        other = asyncio.create_task(visit("other"))
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        assert inside.count("other") == 1
        leave.set()
        await asyncio.gather(*greedy, other)
        assert len(inside) == 21
        assert not fair._clients

    asyncio.run(see())


def test_a_queue_that_is_full_says_so_and_one_client_cannot_fill_it_for_the_others() -> None:
    async def see() -> None:
        fair, leave, refused = Fair(1), asyncio.Event(), []

        async def visit(client: str) -> None:
            try:
                async with fair.turn(client):
                    await leave.wait()
            except Crowded:
                refused.append(client)

        greedy = [asyncio.create_task(visit("greedy")) for _ in range(40)]
        await asyncio.sleep(0)
        other = asyncio.create_task(visit("other"))
        await asyncio.sleep(0)
        assert set(refused) == {"greedy"}
        leave.set()
        await asyncio.gather(*greedy, other)

    asyncio.run(see())


def test_dear_answers_are_worked_out_few_at_once_and_one_after_the_other_for_one_client() -> None:
    async def see() -> None:
        fair, inside, leave = Fair(4), list[str](), asyncio.Event()

        async def visit(client: str, dear: bool) -> None:
            async with fair.turn(client, dear=dear):
                inside.append(client)
                await leave.wait()

        async def come(client: str, times: int, dear: bool = True) -> list[asyncio.Task[None]]:
            came = [asyncio.create_task(visit(client, dear)) for _ in range(times)]
            for _ in range(10):
                await asyncio.sleep(0)
            return came

        greedy = await come("greedy", 5)
        assert inside == ["greedy"]
        others = await come("second", 1) + await come("third", 1)
        assert inside == ["greedy", "second"], "half of four at once"
        plain = await come("greedy", 1, dear=False) + await come("third", 1, dear=False)
        assert inside == ["greedy", "second", "greedy", "third"], "plain pages wait for none of them"
        leave.set()
        await asyncio.gather(*greedy, *others, *plain)
        assert not fair._clients

    asyncio.run(see())


def test_those_whose_dear_answers_are_much_work_share_one_place_and_the_others_stay_free() -> None:
    async def see() -> None:
        now, inside, leave = [0.0], list[str](), asyncio.Event()
        fair = Fair(4, lambda: now[0])
        for client in ("large", "larger", "quick"):
            async with fair.turn(client, dear=True) as kept:
                kept.worked_s = 0.1 if client == "quick" else 5.0
                now[0] += 5.0  # on a busy machine whatever is worked at takes as long

        async def visit(client: str) -> None:
            async with fair.turn(client, dear=True):
                inside.append(client)
                await leave.wait()

        async def come(client: str) -> asyncio.Task[None]:
            task = asyncio.create_task(visit(client))
            for _ in range(10):
                await asyncio.sleep(0)
            return task

        came = [await come(client) for client in ("large", "larger", "quick")]
        assert inside == ["large", "quick"], "two places: one for those, one for everybody else"
        leave.set()
        await asyncio.gather(*came)
        assert inside == ["large", "quick", "larger"]
        now[0] += 3600.0
        leave.clear()
        inside.clear()
        came = [await come(client) for client in ("large", "larger")]
        assert inside == ["large", "larger"], "it is long ago"
        leave.set()
        await asyncio.gather(*came)

    asyncio.run(see())


def test_of_those_who_wait_for_a_dear_answer_the_one_is_next_for_whom_least_was_worked() -> None:
    async def see() -> None:
        now, inside, leave = [0.0], list[str](), asyncio.Event()
        fair = Fair(2, lambda: now[0])

        async def visit(client: str, worked_s: float = 0.3) -> None:
            async with fair.turn(client, dear=True) as kept:
                inside.append(client)
                await leave.wait()
                kept.worked_s = worked_s

        async def come(*clients: str) -> list[asyncio.Task[None]]:
            tasks = [asyncio.create_task(visit(client)) for client in clients]
            for _ in range(10):
                await asyncio.sleep(0)
            return tasks

        leave.set()
        for client in ("often", "often", "often", "once"):
            await visit(client)
        leave.clear()
        inside.clear()
        first = await come("any")
        waiting = await come("often", "once", "gone", "never")
        waiting[2].cancel()
        leave.set()
        await asyncio.gather(*first, *waiting, return_exceptions=True)
        assert inside == ["any", "never", "once", "often"], "who asks without end waits for whoever asks now and then"
        leave.clear()
        inside.clear()
        now[0] += 3600.0
        first = await come("any")
        waiting = await come("often", "once")
        leave.set()
        await asyncio.gather(*first, *waiting)
        assert inside == ["any", "once", "often"] or inside == ["any", "often", "once"]
        assert not fair._clients

    asyncio.run(see())


def test_who_is_called_and_gone_at_once_leaves_its_turn_to_the_next() -> None:
    async def see() -> None:
        fair, inside, leave = Fair(2), list[str](), asyncio.Event()

        async def visit(client: str) -> None:
            async with fair.turn(client, dear=True):
                inside.append(client)
                await leave.wait()

        first = asyncio.create_task(visit("first"))
        await asyncio.sleep(0)
        gone = asyncio.create_task(visit("gone"))
        third = asyncio.create_task(visit("third"))
        for _ in range(10):
            await asyncio.sleep(0)
        leave.set()
        while not first.done():
            await asyncio.sleep(0)
        gone.cancel()
        await third
        await asyncio.gather(gone, return_exceptions=True)
        assert "third" in inside
        await asyncio.wait_for(visit("fourth"), 20)

    asyncio.run(see())


def test_how_long_the_processor_was_at_an_answer_counts_not_how_long_it_took() -> None:
    """Waiting is no work: of somebody else's answer at the same time, of a disk, of a lock."""

    def waits(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        threading.Event().wait(0.6)
        start("200 OK", [("Content-Type", "text/plain")])
        return [b"ok"]

    front = Front(waits, 2, lambda _: 100, lambda: True, is_dear=lambda *_: True)
    scope = {"type": "http", "method": "GET", "path": "/", "raw_path": b"/", "query_string": b"", "headers": []}

    async def ask() -> None:
        async def receive() -> dict[str, Any]:
            return {"type": "http.request", "body": b"", "more_body": False}

        async def send(_: object) -> None:
            return None

        more = {"http_version": "1.1", "scheme": "http", "client": ("10.0.0.9", 1)}
        await front(scope | more, receive, send)  # type: ignore[arg-type]  # as much of a scope as is read

    asyncio.run(ask())
    front.close()
    worked = front._fair._worked["10.0.0.9"]
    assert worked.last_s < 0.5


def test_who_asks_for_much_more_than_a_household_is_refused_and_nobody_else_is() -> None:
    async def see() -> None:
        fair, leave, refused = Fair(8), asyncio.Event(), list[str]()

        async def visit(client: str) -> None:
            try:
                async with fair.turn(client, dear=True):
                    await leave.wait()
            except Crowded:
                refused.append(client)

        came = [asyncio.create_task(visit(client)) for client in ["greedy"] * 20 + ["household"] * 8]
        for _ in range(10):
            await asyncio.sleep(0)
        assert refused == ["greedy"] * 4
        leave.set()
        await asyncio.gather(*came)

    asyncio.run(see())


def test_a_household_has_one_share_from_however_many_addresses() -> None:
    async def see() -> None:
        fair, inside, leave, refused = Fair(4), list[str](), asyncio.Event(), list[str]()

        async def visit(dear: bool, *clients: str) -> None:
            try:
                async with fair.turn(*clients, dear=dear):
                    inside.append(clients[-1])
                    await leave.wait()
            except Crowded:
                refused.append(clients[-1])

        tasks = list[asyncio.Task[None]]()

        async def come(*clients: str, dear: bool = True) -> None:
            tasks.append(asyncio.create_task(visit(dear, *clients)))
            for _ in range(10):
                await asyncio.sleep(0)

        for number in range(20):
            await come(f"address {number}", "greedy")
        assert inside == ["greedy"]
        assert refused == ["greedy"] * 4
        for number in range(20):
            await come(f"address {number}", "greedy", dear=False)
        assert inside == ["greedy"] * 2, "half of four threads"
        await come("address 1", "other")
        await come("elsewhere", "third", dear=False)
        assert inside[2:] == ["third"], "address 1 waits for its own first"
        await come("elsewhere", "other")
        assert inside[3:] == ["other"]
        leave.set()
        await asyncio.gather(*tasks)
        assert not fair._clients

    asyncio.run(see())


def test_a_household_is_known_by_the_keys_in_its_cookies_once_the_app_has_answered() -> None:
    known = Households()
    assert known.of("suppertide=a") == ()
    known.learn("suppertide=a; other=b", "one")
    known.learn("__Host-suppertide=c;suppertide=", "two")
    assert known.of("x=1; suppertide=a") == ("household one",)
    assert known.of("suppertide=a; __Host-suppertide=c") == known.of("__Host-suppertide=c; suppertide=a") != ()
    assert len(known.of("suppertide=a; __Host-suppertide=c")) == 2, "whichever the app takes"
    assert known.of("suppertide=b") == known.of("other=a") == known.of("") == ()
