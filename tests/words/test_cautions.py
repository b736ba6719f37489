"""Cautions in words: each with its source, each deferring to the local authority; allergens as the law names them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest

from tests.words.fresh import fresh_plan
from webapp.core.kinds import CautionKey
from webapp.core.plan.caution import Caution
from webapp.core.safety.cautions import LongBench
from webapp.data.read import table
from webapp.data.safety import allergens, caution_rules
from webapp.words.cautions import AUTHORITY, FRIDGE_SOURCE, allergen_words, caution_words, out_words, topping_rule
from webapp.words.problems.refusal import long_bench

ROOT = Path(__file__).resolve().parent.parent.parent


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


# USDA FSIS, "How long can you leave food out": 2 hours, 1 hour above 90 °F, which are 32 °C.
TWO_HOURS = re.compile(r"2 hours.*1 hour above 32 °C \(90 °F\)")


def test_the_fridge_s_figures_are_the_same_in_every_sentence_and_written_in_none() -> None:
    rich, _ = caution_words(Caution("rich-dough", "mix"), fresh_plan())
    assert all(TWO_HOURS.search(said) for said in (rich, FRIDGE_SOURCE, topping_rule()))
    hot = long_bench(LongBench(5400, 3600, True, False))
    assert "the limit is 1 hour in a kitchen above 32 °C (90 °F)" in hot.message
    files = [*(ROOT / "webapp").rglob("*.py"), *(ROOT / "webapp/data/tables").glob("*.toml")]
    files += (ROOT / "templates").rglob("*.html")
    assert [path.name for path in files if re.search(r"(?<!\d)32 °C", path.read_text(encoding="utf-8"))] == []


def test_an_allergen_that_no_list_knows_is_named_as_it_was_written() -> None:
    assert allergen_words(("milk", "kiwi"), allergens()) == "Contains: milk, kiwi. Read the packets for traces."
    assert caution_words(Caution("allergens"), replace(fresh_plan(), allergens=("gluten", "milk")))[0].startswith(
        "Contains: gluten (wheat), milk."
    )


def test_nothing_entered_is_not_called_free_of_allergens() -> None:
    assert "by what was entered" in allergen_words((), allergens())
