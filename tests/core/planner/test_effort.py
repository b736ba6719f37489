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


def test_what_was_taken_counts_over_all_parts_of_an_answer_what_was_left_of_one_does_not() -> None:
    purse = Effort(1000)
    purse.spend(300)
    purse.allow(500)
    assert purse.spent == 300
    purse.spend(200)
    assert purse.spent == 500
    purse.spend(400)  # a hundred more than were left: they were looked for
    assert purse.spent == 900


def test_of_a_purse_without_a_bottom_nothing_counts_until_it_has_one() -> None:
    purse = Effort()
    purse.spend(10**9)
    assert purse.spent == 0
    purse.allow(100)
    purse.spend(7)
    assert purse.spent == 7
