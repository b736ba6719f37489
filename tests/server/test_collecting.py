"""While a server answers, collecting garbage passes over what was there when it began, and still finds what is new."""

from __future__ import annotations

import gc
import weakref

from webapp.server.collecting import settle, short_stops


class Ring:
    """Refers to itself: only a collection finds it."""

    def __init__(self) -> None:
        self.itself = self


def test_what_is_there_when_it_begins_is_passed_over_until_it_ends() -> None:
    before = gc.get_threshold()
    kept = Ring()
    with short_stops():
        assert not any(one is kept for one in gc.get_objects())
        assert gc.get_freeze_count() > 0
        assert gc.isenabled()
    assert any(one is kept for one in gc.get_objects())
    assert gc.get_threshold() == before


def test_garbage_that_is_made_meanwhile_is_found() -> None:
    with short_stops():
        gone = weakref.ref(Ring())
        gc.collect()
        assert gone() is None


def test_what_comes_later_is_passed_over_too_once_that_is_said() -> None:
    with short_stops():
        later = Ring()
        assert any(one is later for one in gc.get_objects())
        settle()
        assert not any(one is later for one in gc.get_objects())
