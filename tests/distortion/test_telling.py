"""What the section of distortion says: errors where they are, whose number it is, and what cancels."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from derive.circuit.records import Distortion
from derive.derivation.analyse import prepare
from derive.description.reader import read
from derive.distortion.cancelling import CANCELS, left_of_all, pairs
from derive.distortion.records import DistortionStudy
from derive.distortion.study import study_distortion
from derive.document.compose.distortion import blocks, glance
from derive.document.records import Paragraph
from derive.expression.tree import Name
from derive.spoken import spoken
from tests.distortion.test_known import BIPOLAR, study

WORKED = Path(__file__).parents[2] / "worked"
FAILS = "not that the series fails"


@pytest.fixture(scope="module")
def preamplifier() -> list[DistortionStudy]:
    circuit = read(WORKED / "tide_gauge_preamplifier.toml")
    prepared = prepare(circuit)
    return [study_distortion(prepared, one) for one in circuit.studies if isinstance(one.ask, Distortion)]


def told(found: DistortionStudy) -> str:
    return "\n".join(spoken(b.words) for b in blocks(found) if isinstance(b, Paragraph))


def test_pieces_have_their_error_at_their_own_frequency(preamplifier: list[DistortionStudy]) -> None:
    """A piece at a harmonic, 40 kHz outside the band up to 20 kHz, says nothing of the band."""
    notes = [spoken(s.note) for found in preamplifier for s in found.algebra if s.kind == "approximate"]
    assert any("at 40 kHz" in note for note in notes)
    assert not [note for note in notes if "at worst" in note or "throughout" in note]


def test_the_number_is_that_of_the_exact_pieces(preamplifier: list[DistortionStudy]) -> None:
    for found in preamplifier:
        (step,) = [s for s in found.algebra if s.lines and s.lines[0].left == Name("HD2") and s.lines[0].sign == "="]
        assert "exact pieces, not of their short forms" in spoken(step.note)
    plain = study(BIPOLAR.replace('"e"', '"gnd"'), 'to = "c", amplitude = "1 mV peak"')
    assert not any("exact pieces" in spoken(s.note) for s in plain.algebra)


def test_two_terms_of_one_law_that_cancel_are_told_together(preamplifier: list[DistortionStudy]) -> None:
    for found in preamplifier:
        (pair,) = pairs(found.shares)
        assert (pair.first.source.key, pair.second.source.key) == ("e_Q1", "b_Q1")
        assert pair.left == pytest.approx(pair.first.second + pair.second.second)
        assert abs(pair.left) < CANCELS * abs(pair.first.second)
        assert "Their second harmonics cancel" in told(found)
        assert "most of the second from" in spoken(glance(found).note)


def test_a_third_that_is_larger_does_not_prove_that_the_second_cancels(preamplifier: list[DistortionStudy]) -> None:
    """One term alone has nothing to cancel with; beyond the trusted amplitude the series does fail."""
    beyond = study(BIPOLAR.replace('"e"', '"gnd"'), 'to = "c", amplitude = "20 V peak"')
    assert abs(beyond.third) > abs(beyond.second)
    assert left_of_all(beyond.shares) == pytest.approx(1)
    assert FAILS not in told(beyond)
    first = preamplifier[0]
    opposite = replace(first.shares[0], second=-0.99 * first.shares[0].second)
    gone = replace(first, shares=(first.shares[0], opposite), second=0.01 * first.shares[0].second,
                   third=first.shares[0].second)  # fmt: skip
    assert FAILS in told(gone)
    assert FAILS not in told(replace(gone, trusted=first.peak / 2))
