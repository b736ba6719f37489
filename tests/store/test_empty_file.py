"""A database file with nothing in it is one that was lost; a new one is never seen like that."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from webapp.store.schema.errors import EmptyFileError
from webapp.store.store import Store


def test_an_empty_file_at_the_start_is_not_taken_for_a_new_house(tmp_path: Path) -> None:
    """What a power cut or a full disk leaves behind: a first start has no file at all."""
    path = tmp_path / "s.sqlite3"
    path.touch()
    with pytest.raises(EmptyFileError):
        Store(path)
    assert path.stat().st_size == 0, "left as it was found"


def test_a_new_file_is_never_seen_empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second process that starts at the same moment must not take it for one that was lost."""
    path, seen = tmp_path / "s.sqlite3", []
    linked = os.link

    def link(half: str, whole: Path) -> None:
        linked(half, whole)
        seen.append(path.stat().st_size)

    monkeypatch.setattr(os, "link", link)
    Store(path).close()
    assert len(seen) == 1
    assert seen[0] > 0
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [one.name for one in tmp_path.iterdir() if "half" in one.name] == []


def test_where_files_have_no_second_name_a_new_one_is_made_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """FAT, and the shared storage of phones, know no hard links."""

    def link(_: str, __: Path) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "link", link)
    path = tmp_path / "s.sqlite3"
    Store(path).close()
    assert path.stat().st_size > 0
