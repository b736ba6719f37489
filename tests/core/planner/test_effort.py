"""A purse of steps: what may be spent, what is kept for the searches that come after."""

from __future__ import annotations

import math

from webapp.core.planner.effort import Effort


def test_a_search_among_four_may_use_its_part_and_half_as_much_again() -> None:
    purse = Effort(1000)
    purse.share(4)
    assert purse.at_hand == 375  # 1000 / 4 * 1.5
    assert purse.spend(374)
    assert not purse.cut
    assert not purse.spend(1)
    assert purse.cut


def test_a_purse_without_a_bottom_keeps_nothing_back() -> None:
    purse = Effort()
    purse.share(4)
    assert purse.at_hand == math.inf
    assert purse.spend(10**9)
    assert not purse.cut
