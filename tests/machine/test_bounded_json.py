"""JSON from outside: what is read is what the standard library reads, and what is too much never gets that far."""

from __future__ import annotations

import json
import tracemalloc

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.machine.bounded_json import read_json

SIMPLE = st.none() | st.booleans() | st.integers() | st.text(st.characters(exclude_categories=["Cs"]))
VALUES = st.recursive(SIMPLE, lambda inner: st.lists(inner) | st.dictionaries(st.text('ab[]{},"\\'), inner))


@given(VALUES, st.booleans())
def test_it_reads_what_the_standard_library_reads(value: object, ascii_only: bool) -> None:
    text = json.dumps(value, ensure_ascii=ascii_only)
    assert read_json(text.encode(), 10_000, 1000) == json.loads(text) == value


@given(VALUES)
def test_it_never_counts_less_than_there_is_and_brackets_inside_of_text_are_none(value: object) -> None:
    def count(one: object) -> int:
        inner = list(one.values()) if isinstance(one, dict) else one if isinstance(one, list) else []
        return 1 + sum(count(each) for each in inner)

    def depth(one: object) -> int:
        inner = list(one.values()) if isinstance(one, dict) else one if isinstance(one, list) else None
        return 0 if inner is None else 1 + max((depth(each) for each in inner), default=0)

    text = json.dumps(value).encode()
    if count(value) > 1:
        with pytest.raises(ValueError, match="too many"):
            read_json(text, count(value) - 1, 1000)
    assert read_json(text, 10_000, max(depth(value), 1)) == value
    if depth(value) > 1:
        with pytest.raises(ValueError, match="too deep"):
            read_json(text, 10_000, depth(value) - 1)


BAD = (b'"\\ud800"', b'{"a": "\\udfff"}', b"NaN", b"[-Infinity]", b"", b"[", b'"', b"\xff", b"[" * 5000, b"]]]]")


@pytest.mark.parametrize("text", BAD, ids=range(len(BAD)))
def test_what_is_no_good_json_is_a_value_error(text: bytes) -> None:
    with pytest.raises(ValueError):  # noqa: PT011  # json's own words
        read_json(text, 10_000, 100)


def test_a_whole_character_written_as_two_halves_is_read() -> None:
    assert read_json(b'"\\ud83c\\udf55"', 10, 1) == "\U0001f355"


def test_a_small_text_that_would_be_large_in_memory_is_refused_before_it_is() -> None:
    """24 MB of empty lists are 1.1 GB of them (56 and 8 bytes each on a 64-bit machine)."""
    text = b"[" + b"[]," * 2_000_000 + b"[]]"
    tracemalloc.start()
    with pytest.raises(ValueError, match="too many"):
        read_json(text, 1_500_000, 40)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 3 * len(text)


@pytest.mark.parametrize("text", [b'"' + b"\\\\" * 1_000_000 + b'"', b'"' * 4_000_002], ids=["escapes", "quotes"])
def test_a_text_of_nothing_but_escapes_or_quotes_is_refused_before_it_is_taken_to_pieces(text: bytes) -> None:
    """A parser keeps a piece for each escape: 24 MB of them were 1.5 GB, and everybody else waited for it."""
    tracemalloc.start()
    with pytest.raises(ValueError, match="too many"):
        read_json(text, 400_000, 40)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < len(text)
