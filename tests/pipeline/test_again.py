"""Words changed, and nothing else: the same page as from the beginning, without deriving again."""

from __future__ import annotations

from dataclasses import replace

from derive.again import Again
from derive.derivation.analyse import analyse
from derive.description.reader import read_text
from derive.pipeline import page_of

TEXT = """\
[about]
title = "TITLE"
purpose = "PURPOSE"
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"] }
R2 = { resistor = "200 kΩ", between = ["out", "gnd"] }
C1 = { capacitor = "10 nF", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
[[assume]]
that = "R1 << R2"
because = "WHY"
"""


def written(**words: str):
    text = TEXT
    for word, other in words.items():
        text = text.replace(word, other)
    return read_text(text, "a.toml")


def counted():
    count: list[int] = []

    def derive(circuit):
        count.append(1)
        return analyse(circuit)

    return Again(derive), count


def test_words_alone_derive_nothing_and_stand_on_the_page() -> None:
    again, count = counted()
    page_of(written(), drawing=False, analyse=again.of)
    other = written(TITLE="Another", PURPOSE="for this", WHY="it is so")
    page = page_of(other, drawing=False, analyse=again.of)("")
    assert len(count) == 1
    assert page == page_of(other, drawing=False)("")
    assert "it is so" in page


def test_anything_else_derives_anew() -> None:
    again, count = counted()
    first = written()
    again.of(first)
    for text in (TEXT.replace("200", "300"), TEXT.replace("R1 <<", "10*R1 <<"), TEXT.replace('"A"', '"B"')):
        other = read_text(text, "a.toml")
        assert again.of(other).circuit is other
    spot = replace(first, about=replace(first.about, spot=first.about.spot * 2))
    assert again.of(spot).ground.spot == spot.about.spot
    assert len(count) == 5
