"""Each household is worked for on a line of its own: what one household's servers do never delays another's."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor, wait

_A_MOMENT_S = 1.0


class Lines:
    """A bounded number of threads; a household has one at most. `alike`: what those have in common of which
    `most_alike` have one at most, so that a server that keeps many households waiting leaves lines for the others."""

    def __init__(
        self, most: int = 16, name: str = "line", most_alike: int = 0, alike: Callable[[str], str] = lambda _: ""
    ) -> None:
        self._pool = ThreadPoolExecutor(most, thread_name_prefix=name)
        self._most_alike = most_alike
        self._alike = alike
        self._engaged: dict[str, Future[object]] = {}

    def take(self, kitchens: Iterable[str], work: Callable[[str], object]) -> None:
        """Do the work for these. A household that is still being worked for is left to its own line; this waits a
        moment for the others and no longer. What went wrong is raised."""
        self._engaged = {kitchen: line for kitchen, line in self._engaged.items() if not line.done()}
        for kitchen_id in kitchens:
            if kitchen_id not in self._engaged and self._has_room_for(kitchen_id):
                self._engaged[kitchen_id] = self._pool.submit(work, kitchen_id)
        for line in wait(self._engaged.values(), timeout=_A_MOMENT_S).done:
            line.result()

    def _has_room_for(self, kitchen_id: str) -> bool:
        alike = self._alike(kitchen_id)
        return not self._most_alike or sum(self._alike(one) == alike for one in self._engaged) < self._most_alike

    def close(self) -> None:
        """Finish what is being done, begin nothing more."""
        self._pool.shutdown(wait=True, cancel_futures=True)
