"""Cautions in words: each with its source, each deferring to the local authority; allergens as the law names them."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from tests.words.fresh import fresh_plan
from webapp.core.kinds import CautionKey
from webapp.core.plan.caution import Caution
from webapp.data.read import table
from webapp.data.safety import allergens, caution_rules
from webapp.words.cautions import AUTHORITY, allergen_words, caution_words, out_words


@pytest.mark.parametrize("key", get_args(CautionKey))
def test_every_caution_is_one_text_with_a_source(key: str) -> None:
    text, source = caution_words(Caution(key, "mix"), fresh_plan())
    assert text.endswith(".")
    assert "{" not in text
    assert source
    assert AUTHORITY not in source  # said once for all of them, where they are listed


def test_rules_and_texts_are_of_the_same_cautions() -> None:
    assert {rule.key for rule in caution_rules()} == {row["key"] for row in table("cautions")["caution"]}
    assert {rule.key for rule in caution_rules()} == set(get_args(CautionKey))


def test_the_slab_is_named_as_it_is() -> None:
    assert "10 mm steel" in caution_words(Caution("hot-slab"), fresh_plan())[0]


def test_a_caution_whose_key_is_gone_says_what_it_said() -> None:
    stored = Caution("no-longer", text="Mind the cat.", source="a cat")
    assert caution_words(stored, fresh_plan()) == ("Mind the cat.", "a cat")


def test_time_out_of_the_fridge_is_said_against_its_limit() -> None:
    cheese = Caution("out-cheese", "top", ("Feta", "Ham"), "within", 1800, 7200)
    assert out_words(cheese).startswith(
        "Feta and Ham: 30 minutes out of the fridge before the oven; the limit is 2 hours"
    )
    over = out_words(replace(cheese, out="over", out_s=7800))
    assert "2 hours 10 minutes out of the fridge before the oven would be over the limit" in over
    assert "Back into the fridge" in over
    spent = out_words(replace(cheese, out="spent", out_s=7800))
    assert "2 hours 10 minutes out of the fridge is over the limit of 2 hours. Throw it away" in spent


def test_an_allergen_that_no_list_knows_is_named_as_it_was_written() -> None:
    assert allergen_words(("milk", "kiwi"), allergens()) == "Contains: milk, kiwi. Read the packets for traces."
    assert caution_words(Caution("allergens"), replace(fresh_plan(), allergens=("gluten", "milk")))[0].startswith(
        "Contains: gluten (wheat), milk."
    )


def test_nothing_entered_is_not_called_free_of_allergens() -> None:
    assert "by what was entered" in allergen_words((), allergens())
