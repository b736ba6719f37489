"""Whether the database answers, asked in a thread of its own: nobody waits for it for long, and it is asked seldom."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor

_ASK_AGAIN_S = 1.0
_WAIT_S = 0.3
_FRESH_S = 3.0  # who is asked many times a second does not wait for a busy database
_BELIEVED_S = 30.0  # a machine that is busy answers late; a database that has not answered for so long does not answer

log = logging.getLogger(__name__)


class Pulse:
    """The last answer of `probe`, renewed when it is older than a second."""

    def __init__(self, probe: Callable[[], bool], clock: Callable[[], float] = time.monotonic) -> None:
        self._probe = probe
        self._clock = clock
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="pulse")
        self._asked: Future[bool] | None = None
        self._good, self._at = False, float("-inf")

    def close(self) -> None:
        """No more questions."""
        self._thread.shutdown(wait=False, cancel_futures=True)

    async def ready(self) -> bool:
        """The newest answer that can be had within 0.3 s; a good one of the last seconds while it is asked again."""
        age = self._clock() - self._at
        if age > _ASK_AGAIN_S:
            if self._asked is None or self._asked.done():
                self._asked = self._thread.submit(self._ask)
            if not self._good or age > _FRESH_S:
                await asyncio.wait([asyncio.wrap_future(self._asked)], timeout=_WAIT_S)
        return self._good and self._clock() - self._at < _BELIEVED_S

    def _ask(self) -> bool:
        try:
            good = bool(self._probe())
        except Exception as error:  # whatever is wrong with it: it cannot be used
            log.warning("the database does not answer: %s", error)
            good = False
        self._good, self._at = good, self._clock()
        return good
