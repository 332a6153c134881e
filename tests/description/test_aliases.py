"""[alias]: the author's own spelling of symbols."""

from __future__ import annotations

import pytest

from derive.circuit.symbols import symbols_of_all
from derive.description.reader import read_text
from derive.errors import DescriptionError
from derive.hand.read import read_hand
from tests.description.samples import DIVIDER


def test_aliases_are_kept() -> None:
    circuit = read_text(DIVIDER + '[alias]\nRtop = "R1"\nr_low = "R2"\n', "divider.toml")
    assert dict(circuit.aliases) == {"Rtop": "R1", "r_low": "R2"}
    units = symbols_of_all(circuit.parts.values())
    (aliased,) = read_hand(r"\frac{r_{low}}{R_{top} + r_{low}}", units, ["A"], circuit.aliases).links
    (plain,) = read_hand("R2/(R1 + R2)", units).links
    assert aliased.value == plain.value


WRONG = {
    "no symbol": ('Rtop = "R9"', ["no symbol R9", "R1"]),
    "a part without a symbol": ('Rtop = "Vs"', ["Vs is a signal", "no symbol of its own"]),
    "hides a symbol": ('R1 = "R2"', ["R1 is a symbol of the circuit already"]),
    "hides a symbol but for the underscore": ('R_1 = "R2"', ["R1 is a symbol of the circuit already"]),
    "hides a question": ('A = "R2"', ["A is a question already"]),
    "has a meaning": ('s = "R1"', ["s has a meaning of its own"]),
    "twice but for the underscore": ('Rx = "R1"\nR_x = "R2"', ["Rx is an alias already"]),
    "no name": ('"R x" = "R1"', ['"R x" is no name']),
    "Greek": ('"β1" = "R1"', ["β (Greek small letter beta)", "β is beta"]),
    "not a name of a symbol": ("Rtop = 3", ["3 is not the name of a symbol"]),
    "empty": ("", ["the table is empty", "[alias]"]),
}


@pytest.mark.parametrize(("lines", "words"), WRONG.values(), ids=WRONG.keys())
def test_what_is_wrong_is_told(lines, words) -> None:
    with pytest.raises(DescriptionError) as caught:
        read_text(f"{DIVIDER}[alias]\n{lines}\n", "divider.toml")
    for word in words:
        assert word in str(caught.value)
    assert caught.value.line is not None


def test_a_list_is_refused() -> None:
    with pytest.raises(DescriptionError, match="is not a table"):
        read_text(f'{DIVIDER}[[alias]]\nRtop = "R1"\n', "divider.toml")
