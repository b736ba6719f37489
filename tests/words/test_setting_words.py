"""Settings that cannot be read are named as a person calls them."""

from __future__ import annotations

from dataclasses import fields

from webapp.core.kitchen import Kitchen
from webapp.words.kinds.settings import SETTINGS, setting_word


def test_every_part_of_a_kitchen_has_a_name_and_no_two_the_same() -> None:
    assert set(SETTINGS) == {one.name for one in fields(Kitchen)}
    assert len(set(SETTINGS.values())) == len(SETTINGS)
    assert not any("_" in word for word in SETTINGS.values())


def test_a_setting_of_a_newer_version_is_named_as_it_is_written() -> None:
    assert setting_word("moon_phase") == "moon_phase"
