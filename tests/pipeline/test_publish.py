"""Output folders are replaced whole or not at all."""

from __future__ import annotations

import os

import pytest

from derive import publish as module
from derive.publish import CannotWrite, publish


def test_a_folder_is_replaced_whole(tmp_path):
    publish(tmp_path / "sheet", {"a": b"1", "b": b"2"})
    publish(tmp_path / "sheet", {"c": b"3"})
    assert [p.name for p in (tmp_path / "sheet").iterdir()] == ["c"]
    assert [p.name for p in tmp_path.iterdir()] == ["sheet"]


def test_a_failure_on_the_way_leaves_the_old_folder(tmp_path, monkeypatch):
    publish(tmp_path / "sheet", {"a": b"1"})
    original, calls = os.rename, []

    def fails_the_second_time(source, target):
        calls.append(source)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")
        original(source, target)

    monkeypatch.setattr(module.os, "rename", fails_the_second_time)
    with pytest.raises(CannotWrite, match="No space left"):
        publish(tmp_path / "sheet", {"b": b"2"})
    assert [p.name for p in tmp_path.iterdir()] == ["sheet"]
    assert (tmp_path / "sheet" / "a").read_bytes() == b"1"


def test_a_link_is_not_followed(tmp_path):
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "sheet").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(CannotWrite):
        publish(tmp_path / "sheet", {"a": b"1"})
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.mark.parametrize("name", ["..", ".hidden", "a b", "a\nb"])
def test_names_that_are_no_names_are_refused(tmp_path, name):
    with pytest.raises(CannotWrite):
        publish(tmp_path / name, {"a": b"1"})
