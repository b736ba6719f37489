"""What the first visitor would wait for is done beforehand, bit by bit, once the server answers."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterable

_REST_S = 0.2  # behind each bit: whoever asks meanwhile waits for one at most

log = logging.getLogger(__name__)


class Beforehand:
    """A thread that does `jobs` one after the other, with a rest behind each, until it is closed."""

    def __init__(self, jobs: Iterable[Callable[[], object]], rest_s: float = _REST_S) -> None:
        self._jobs, self._rest_s = jobs, rest_s
        self._closed = threading.Event()
        self._thread = threading.Thread(target=self._work, name="beforehand", daemon=True)
        self._thread.start()

    def close(self, wait_s: float = 1.0) -> None:
        """No more jobs; the one that is being done goes on for `wait_s` at most."""
        self._closed.set()
        self._thread.join(wait_s)

    def _work(self) -> None:
        for job in self._jobs:
            if self._closed.wait(self._rest_s):
                return
            try:
                job()
            except Exception:  # whoever asks for it is told what is wrong
                log.exception("something could not be done beforehand")
