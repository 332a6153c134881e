"""Colours of marks: legible on their ground, apart for colour-blind readers, or apart by their dashes.

The matrices are those of Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
vision deficiency", IEEE Trans. Visualization and Computer Graphics 15 (2009), severity 1 (from memory); the ratio of
contrast is that of WCAG 2.2.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from derive.drawing.inks import ARROW, BADGE, LOOPS, PALE, VOLTAGE, Ink

SEES = {
    "all": np.eye(3),
    "protan": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                        [-0.003882, -0.048116, 1.051998]]),
    "deutan": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                        [-0.011820, 0.042940, 0.968881]]),
}  # fmt: skip


def linear(colour: str) -> np.ndarray:
    part = np.array([int(colour[n : n + 2], 16) / 255 for n in (0, 2, 4)])
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    return float(np.array([0.2126, 0.7152, 0.0722]) @ linear(colour))


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("ink", [*LOOPS, VOLTAGE, ARROW, BADGE, PALE])
def test_words_are_legible_on_both_grounds(ink: Ink) -> None:
    assert contrast(ink.dark, "ffffff") >= 4.5
    assert contrast(ink.light, "14171a") >= 4.5


@pytest.mark.parametrize("eye", SEES)
@pytest.mark.parametrize("ground", ["dark", "light"])
def test_loops_stay_apart(eye: str, ground: str) -> None:
    """By colour to each kind of eye (least distance in gamma-encoded RGB), and by dashes to a grey printer."""
    for one, other in combinations(LOOPS, 2):
        a, b = (np.clip(SEES[eye] @ linear(getattr(ink, ground)), 0, 1) ** (1 / 2.4) for ink in (one, other))
        assert np.linalg.norm(a - b) > 0.3
        assert one.dashes != other.dashes
