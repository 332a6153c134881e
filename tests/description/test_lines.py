"""The line of a key path, against counting by hand."""

from __future__ import annotations

import time

from derive.description.lines import line_of
from derive.description.source import source_of_text
from tests.description.samples import BUFFER, DIVIDER


def test_every_part_is_found_on_its_line() -> None:
    lines = BUFFER.split("\n")
    for name in ("Vs", "Rs", "Q1", "Link1", "Vcc"):
        number = line_of(BUFFER, ("parts", name))
        assert number is not None
        assert lines[number - 1].startswith(name)


def test_keys_inside_tables_and_lists() -> None:
    text = '[parts.R1]\nresistor = "1k"\n\nbetween = [\n  "a",\n  "b",\n]\n'
    text += '[[assume]]\n[[assume]]\nthat = """\nx\n"""\n'
    assert line_of(text, ("parts",)) == 1
    assert line_of(text, ("parts", "R1", "resistor")) == 2
    assert line_of(text, ("parts", "R1", "between", 1)) == 7
    assert line_of(text, ("assume", 1)) == 9
    assert line_of(text, ("assume", 1, "that")) == 12
    assert line_of(text, ("assume", 2)) == 8


def test_the_longest_part_of_a_path_that_is_there() -> None:
    source = source_of_text(DIVIDER, "c")
    assert source.line_of(("parts", "R2", "tolerance")) == 4
    assert source.line_of(("nothing",)) is None


def test_long_texts_are_quick_or_given_up() -> None:
    text = "[parts]\n" + "".join(f'R{index} = {{ resistor = "1k" }}\n' for index in range(3000))
    start = time.perf_counter()
    assert line_of(text, ("parts", "R2999")) == 3001
    assert time.perf_counter() - start < 5
    hostile = "a = '''\n" + "\n" * 200_000 + "'''\nb = 1\n"
    start = time.perf_counter()
    assert line_of(hostile, ("b",)) in (None, 200_003)
    assert time.perf_counter() - start < 10
