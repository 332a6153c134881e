"""Statements that contradict each other."""

from __future__ import annotations

import pytest

from derive.description.reader import read_text
from derive.errors import DescriptionError
from tests.description.samples import DIVIDER

SECOND = '[[question]]\nname = "B"\nimpedance = { at = "out" }\n'


def statements(*lines: str) -> str:
    return DIVIDER + SECOND + "".join(f"[[assume]]\n{line}\n" for line in lines)


@pytest.mark.parametrize(
    ("lines", "what", "line"),
    [
        (['short = ["R1"]', 'open = ["R1"]'], "statement A2: it opens R1, and statement A1 shorts it", 15),
        (['open = ["R1", "R2"]', 'short = "R2"'], "statement A2: it shorts R2, and statement A1 opens it", 15),
        (
            ['short = ["R1"]\nfor = ["A"]', 'open = ["R1"]\nfor = ["B"]', 'open = ["R1"]\nfor = ["B", "A"]'],
            "statement A3: it opens R1, and statement A1 shorts it",
            19,
        ),
        (['short = ["R1"]\nfor = ["A"]', 'open = ["R1"]'], "statement A2: it opens R1", 16),
    ],
)
def test_a_part_is_not_shorted_and_opened_at_once(lines: list[str], what: str, line: int) -> None:
    with pytest.raises(DescriptionError) as caught:
        read_text(statements(*lines), "c.toml")
    assert caught.value.what.startswith(what)
    assert caught.value.line == line
    assert "leave one of them out" in caught.value.remedy


def test_different_questions_may_state_opposites() -> None:
    found = read_text(statements('short = ["R1"]\nfor = ["A"]', 'open = ["R1"]\nfor = ["B"]'), "c.toml").statements
    assert (found[0].short, found[1].open) == (("R1",), ("R1",))


def test_the_same_twice_is_no_contradiction() -> None:
    assert len(read_text(statements('short = ["R1"]', 'short = ["R1"]', 'open = ["R2"]'), "c.toml").statements) == 3
