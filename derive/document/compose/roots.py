"""Poles and zeros in words.

Enters: a spectrum. Leaves: words. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from derive.algebra.spectrum import Spectrum
from derive.expression.tree import Name
from derive.words import Formula, Inline, Reading, Words

REAL = 1e-9
"""Imaginary part beside the magnitude below which a root counts as real."""


def roots_words(spectrum: Spectrum) -> Words:
    """“Poles at 0.16 Hz and 390 kHz; a zero at 12 MHz.” A pair is told by its frequency and Q."""
    poles, zeros = _listed(spectrum.poles), _listed(spectrum.zeros)
    if not poles and not zeros:
        return ("It does not depend on frequency.",)
    words: list[Inline] = []
    for name, found in (("pole", poles), ("zero", zeros)):
        plural = f"{name}s"
        if not found:
            words.append(f"{'No ' if not words else 'no '}{plural}")
        else:
            one = len(found) == 1 and not found[0][1]
            start = f"{'A' if not words else 'a'} {name}" if one else plural.capitalize() if not words else plural
            words.append(f"{start} at ")
            for place, (root, _) in enumerate(found):
                words.append("" if not place else " and " if place == len(found) - 1 else ", ")
                words += root
        words.append("; " if name == "pole" else ".")
    return tuple(words)


def _listed(roots: Sequence[complex]) -> list[tuple[list[Inline], bool]]:
    """Each root in words, complex pairs once; tells whether it is a pair."""
    found: list[tuple[list[Inline], bool]] = []
    for root in roots:
        size = abs(root)
        side = " in the right half plane" if root.real > REAL * size else ""
        if abs(root.imag) <= REAL * size:
            found.append(([Reading(size / (2 * pi), "Hz", 4), side], False))
        elif root.imag > 0:
            pair: list[Inline] = [Reading(size / (2 * pi), "Hz", 4)]
            if abs(root.real) <= REAL * size:
                pair.append(" (a pair on the imaginary axis)")
            else:
                pair += [
                    " (a pair with ",
                    Formula(Name("Q")),
                    " = ",
                    Reading(size / (2 * abs(root.real)), "1", 3),
                    f"{side})",
                ]
            found.append((pair, True))
    return found


def unstable(spectrum: Spectrum) -> bool:
    """Whether some pole lies in the right half plane."""
    return any(pole.real > REAL * abs(pole) for pole in spectrum.poles)
