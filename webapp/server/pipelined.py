"""A connection of HTTP/1.1 that is over is over, also when its client has asked for more already.

Hypercorn (0.18) waits for ever for its turn to read the next question then, and with it whoever ends the server.
"""

from __future__ import annotations

import h11
import hypercorn.protocol
from hypercorn.events import Event, RawData
from hypercorn.protocol.h11 import H11Protocol


class OneByOne(H11Protocol):
    """What was asked behind the last answer is thrown away."""

    _over = False

    async def handle(self, event: Event) -> None:
        """What came, or that the client has left."""
        if not (self._over and isinstance(event, RawData)):
            await super().handle(event)

    async def _maybe_recycle(self) -> None:
        """After an answer: on to the next question, unless there is to be none."""
        theirs, ours = self.connection.their_state, self.connection.our_state
        if isinstance(self.connection, h11.Connection) and (
            self.context.terminated.is_set() or not theirs is ours is h11.DONE
        ):
            self._over = True
            self.connection = h11.Connection(h11.SERVER)
            self.connection.receive_data(b"")  # nothing follows
        await super()._maybe_recycle()


def install() -> None:
    """For every connection from now on."""
    setattr(hypercorn.protocol, "H11Protocol", OneByOne)  # noqa: B010  # a plain assignment is no type's
