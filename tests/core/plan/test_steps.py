"""Steps of a plan, as a household goes through them."""

from __future__ import annotations

from dataclasses import replace

from tests.samples import sample_plan
from webapp.core.plan.steps import in_and_out_of_fridge


def test_a_dough_is_in_the_fridge_from_the_step_that_puts_it_there_to_the_next_one_of_the_dough() -> None:
    """A sauce that is made meanwhile takes no dough out (common practice: the dough stays until it is wanted)."""
    mix, press, *others = [one for one in sample_plan().steps if one.chain]
    sauce = replace(mix, step_id="sauce", kind="sauce", chain=False, start=mix.end, end=mix.end + 300, place="none")
    cold = (replace(mix, place="fridge"), sauce, replace(press, place="bench"), *others)
    assert [(one.step_id, after.step_id) for one, after in in_and_out_of_fridge(cold)] == [("mix", press.step_id)]
    assert in_and_out_of_fridge((replace(mix, place="bench"), sauce, replace(press, place="bench"))) == []
