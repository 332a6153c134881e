"""What may be varied on the page: named parts whose values are symbols by themselves."""

from __future__ import annotations

import pytest

from derive.description.reader import read_text
from derive.errors import DescriptionError
from tests.description.samples import DIVIDER


def varied(line: str) -> str:
    """The divider with a line in [about]."""
    return f"[about]\n{line}\n" + DIVIDER


def test_names_are_kept_in_their_order() -> None:
    assert read_text(varied('vary = ["R2", "R1"]'), "a.toml").about.vary == ("R2", "R1")
    assert read_text(DIVIDER, "a.toml").about.vary == ()


WRONG = {
    "no such part": ('vary = ["R9"]', ["vary: there is no part", "R9"]),
    "a source": ('vary = ["Vs"]', ["Vs is a signal", "stays fixed", "resistors, capacitors, inductors"]),
    "twice": ('vary = ["R1", "R1"]', ["R1", "twice"]),
    "no list": ("vary = 3", ["3"]),
}


@pytest.mark.parametrize(("line", "words"), WRONG.values(), ids=WRONG.keys())
def test_what_is_wrong_is_told(line, words) -> None:
    with pytest.raises(DescriptionError) as caught:
        read_text(varied(line), "a.toml")
    for word in words:
        assert word in str(caught.value)


def test_at_the_top_the_place_is_told() -> None:
    with pytest.raises(DescriptionError, match=r"write it under \[about\]"):
        read_text('vary = ["R1"]\n' + DIVIDER, "a.toml")
