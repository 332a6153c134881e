"""Short forms of the two larger worked examples: as short as they were asked to be, and soon enough."""

from __future__ import annotations

import time
from fractions import Fraction
from pathlib import Path

import pytest

from derive.algebra.spectrum import Spectrum
from derive.description.reader import read, read_text
from derive.expression.text import write
from derive.structure.records import Short
from derive.structure.shortest import shortest
from derive.structure.write import ONE_LINE
from tests.asking import Asked

WORKED = Path(__file__).parents[2] / "worked"
SECONDS = 30
MOST_TERMS = 4


def _short(asked: Asked, name: str, within: str) -> tuple[Short, Spectrum]:
    exact = asked.exact(name)
    found = shortest(exact, (), asked.ground, asked.style, Fraction(within))
    assert found is not None
    assert found.reached
    return found, exact.spectrum


def test_eight_devices_have_small_factors() -> None:
    """Gain, input impedance and return ratio of the second stage, hundreds of thousands of terms each."""
    asked = Asked(read(WORKED / "quay_hydrophone_follower.toml"))
    start = time.monotonic()
    for name in ("A", "Zin", "T"):
        assert min(asked.exact(name).terms) > 100_000
        found, _ = _short(asked, name, "1/20")
        assert all(piece.terms <= MOST_TERMS for piece in found.written.pieces)
        if found.candidate is not None:
            assert all(len(factor) <= MOST_TERMS for factor, _ in found.candidate.factored.sums)
    assert time.monotonic() - start < SECONDS


def _low_frequency() -> Asked:
    """The hydrophone buffer (two transistors), its capacitors gone: the bootstrap's as a short, the others as open."""
    text = (WORKED / "harbour_hydrophone.toml").read_text(encoding="utf-8")
    text = text[: text.index("[[assume]]")].replace('capacitor = "47 µF"', 'capacitor = "47 kF"')
    lines = [line for line in text.splitlines() if not line.startswith(("Ccab", "cgs", "cgd", "vary"))]
    return Asked(read_text("\n".join(lines) + "\n", "low.toml"))


@pytest.mark.parametrize("name", ["A", "Zin", "T"])
def test_the_buffer_fits_one_line_at_low_frequency(name: str) -> None:
    asked = _low_frequency()
    found, exact = _short(asked, name, "1/20")
    assert found.written.cost <= ONE_LINE, write(found.written.tree)
    assert not found.written.pieces
    value, true = (spectrum.at_frequency(1000) for spectrum in (found.spectrum, exact))
    assert abs(value - true) <= 0.05 * abs(true)


def test_the_input_impedance_is_the_budget_of_its_port() -> None:
    """In the whole band its terms cancel; by the budget each ratio stands by itself."""
    asked = Asked(read(WORKED / "harbour_hydrophone.toml"))
    found, _ = _short(asked, "Zin", "1/20")
    assert {branch.symbols for branch in found.branches} == {("Rg",), ("Cgd_Q1",), ("Ccab",)}
    assert dict(found.left_out).keys() == {"Cgs_Q1"}
    assert found.written.cost < 2 * ONE_LINE


def test_where_nothing_can_be_read_the_best_is_shown_and_said_to_miss() -> None:
    """The return ratio of eight devices within 1 %."""
    asked = Asked(read(WORKED / "quay_hydrophone_follower.toml"))
    found = shortest(asked.exact("T"), (), asked.ground, asked.style, Fraction(1, 100))
    assert found is not None
    assert found.within == Fraction(1, 100)
    assert not found.reached
    assert found.error.worst < 0.05
    assert all(piece.terms <= MOST_TERMS for piece in found.written.pieces)
