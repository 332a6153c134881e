"""Filters: second-order sections, the twin T, Butterworth ladders against handbook values and libraries."""

from __future__ import annotations

from fractions import Fraction
from math import pi, sin

import control
import numpy as np
import pytest
from scipy.signal import butter

from derive.algebra.spectrum import Spectrum
from tests.asking import Asked
from tests.networks import circuit
from tests.reference.book import Published, check

INPUT = 'Vs = { signal = "voltage", between = ["in", "gnd"] }\n'
GAIN = 'gain = { from = "in", to = "out" }'
PARTS = {"R": ("resistor", "Ω"), "C": ("capacitor", "F"), "L": ("inductor", "H")}


def part(name: str, value: object, first: str, second: str = "gnd") -> str:
    kind, unit = PARTS[name[0]]
    return f'{name} = {{ {kind} = "{value} {unit}", between = ["{first}", "{second}"] }}\n'


def opamp(plus: str, minus: str, out: str) -> str:
    return f'U1 = {{ opamp = "ideal", plus = "{plus}", minus = "{minus}", out = "{out}" }}\n'


def spectrum(parts: str) -> Spectrum:
    return Asked(circuit(INPUT + parts, f"H: {GAIN}")).exact("H").spectrum


SALLEN_KEY = (
    part("R1", "10k", "in", "a") + part("R2", "22k", "a", "p") + part("C1", "10n", "a", "out") + part("C2", "4.7n", "p")
)
UNITY = SALLEN_KEY + opamp("p", "out", "out")
RAISED = SALLEN_KEY + opamp("p", "m", "out") + part("R3", "10k", "m") + part("R4", "5.6k", "out", "m")
KEY = "R. P. Sallen, E. L. Key, IRE Trans. Circuit Theory 2 (1955) 74 (from memory)"
SECTIONS = [
    Published("Sallen-Key low-pass", KEY, INPUT + UNITY, GAIN, "1/(1 + s*C2*(R1 + R2) + s**2*R1*R2*C1*C2)"),
    Published(
        "Sallen-Key low-pass with gain", KEY, INPUT + RAISED, GAIN,
        "(1 + R4/R3)/(1 + s*(C2*(R1 + R2) - R1*C1*R4/R3) + s**2*R1*R2*C1*C2)",
    ),
    Published(
        "multiple feedback low-pass", "W. K. Chen, ed., The Circuits and Filters Handbook (from memory)",
        INPUT + part("R1", "10k", "in", "a") + part("R2", "10k", "a", "out") + part("R3", "22k", "a", "m")
        + part("C1", "10n", "a") + part("C2", "1n", "m", "out") + opamp("gnd", "m", "out"), GAIN,
        "-(R2/R1)/(1 + s*C2*(R2 + R3 + R2*R3/R1) + s**2*C1*C2*R2*R3)",
    ),
    Published(
        "Wien network", "F. E. Terman, Radio Engineers' Handbook (from memory): one third at 1/(RC)",
        INPUT + part("R1", "10k", "in", "a") + part("C1", "10n", "a", "out") + part("R2", "10k", "out")
        + part("C2", "10n", "out"),
        GAIN, "s*C1*R2/(1 + s*(R1*C1 + R2*C2 + R2*C1) + s**2*R1*R2*C1*C2)",
    ),
]  # fmt: skip


@pytest.mark.parametrize("published", SECTIONS, ids=str)
def test_section(published: Published) -> None:
    check(published)


def test_corner_and_quality_of_a_sallen_key_section() -> None:
    """w0 = 1/sqrt(R1 R2 C1 C2), Q = sqrt(R1 R2 C1 C2)/(C2 (R1 + R2)) (same source); squared, both are rational."""
    one, first, second = spectrum(UNITY).denominator
    r1, r2, c1, c2 = Fraction(10_000), Fraction(22_000), Fraction("10e-9"), Fraction("4.7e-9")
    assert one / second == 1 / (r1 * r2 * c1 * c2)
    assert one * second / first**2 == r1 * r2 * c1 * c2 / (c2 * (r1 + r2)) ** 2
    w0 = float(r1 * r2 * c1 * c2) ** -0.5
    assert all(abs(pole) == pytest.approx(w0, rel=1e-12) for pole in spectrum(UNITY).poles)


def test_twin_t_has_an_exact_zero() -> None:
    """R, R, 2C and C, C, R/2: (1 + s²R²C²)/(1 + 4sRC + s²R²C²), zero exactly at 1/(2 pi R C).

    (F. E. Terman, Radio Engineers' Handbook, parallel-T network; from memory.)
    """
    rc = Fraction(10_000) * Fraction("10e-9")
    found = spectrum(
        part("R1", "10k", "in", "a") + part("R2", "10k", "a", "out") + part("C3", "20n", "a")
        + part("C1", "10n", "in", "b") + part("C2", "10n", "b", "out") + part("R3", "5k", "b")
    )  # fmt: skip
    assert found == Spectrum((Fraction(1), Fraction(0), rc**2), (Fraction(1), 4 * rc, rc**2))
    assert found.at(complex(0, float(1 / rc))) == 0
    assert sorted(zero.imag for zero in found.zeros) == pytest.approx([-1 / float(rc), 1 / float(rc)], rel=1e-15)


def _ladder(values: list[float], source_end: bool) -> str:
    """A ladder between one-ohm ends, or driven by the voltage itself when ``source_end`` is false."""
    lines, node = (part("R1", 1, "in", "n1") if source_end else ""), "n1" if source_end else "in"
    for place, value in enumerate(values, 1):
        shunt = (place % 2 == 1) == source_end
        if shunt:
            lines += part(f"C{place}", value, node)
        else:
            following = f"n{place + 1}"
            lines += part(f"L{place}", value, node, following)
            node = following
    last = part("R2", 1, node)
    return (lines + last).replace(f'"{node}"', '"out"')


HANDBOOK = [
    # L. Weinberg, Network Analysis and Synthesis (1962); A. I. Zverev, Handbook of Filter Synthesis (1967),
    # Butterworth tables, normalised to 1 Ω and 1 rad/s; from memory. Four digits as printed.
    ("three poles between equal ends", [1.0, 2.0, 1.0], True, 1e-12),
    ("three poles, one end", [1.5, 1.3333, 0.5], False, 1e-4),
    ("five poles between equal ends", [0.618, 1.618, 2.0, 1.618, 0.618], True, 2e-4),
]  # fmt: skip


@pytest.mark.parametrize(("name", "values", "both", "close"), HANDBOOK, ids=[row[0] for row in HANDBOOK])
def test_butterworth_ladder(name: str, values: list[float], both: bool, close: float) -> None:
    found = spectrum(_ladder(values, both))
    below = np.array([float(c) for c in found.denominator][::-1])
    _, expected = butter(len(values), 1, analog=True)
    assert below / below[0] == pytest.approx(expected, rel=close), name
    assert float(found.exactly_at(Fraction(0))) == pytest.approx(0.5 if both else 1.0)
    assert len(found.numerator) == 1


def test_element_values_of_a_butterworth_ladder() -> None:
    """g_k = 2 sin((2k - 1) pi/2n) between equal ends (V. Belevitch; W. R. Bennett; from memory), to ten digits."""
    values = [round(2 * sin((2 * k - 1) * pi / 14), 10) for k in range(1, 8)]
    found = spectrum(_ladder(values, True))
    _, expected = butter(7, 1, analog=True)
    assert [float(c) * 2 for c in found.denominator] == pytest.approx([2 * float(c) for c in expected], rel=1e-8)


def test_butterworth_section_with_an_op_amp() -> None:
    """C1 = 2 C2 and equal resistors make two poles of Butterworth's, w0 = 1/(sqrt(2) R C2) (same source as above)."""
    found = spectrum(
        part("R1", "10k", "in", "a") + part("R2", "10k", "a", "p") + part("C1", "20n", "a", "out")
        + part("C2", "10n", "p") + opamp("p", "out", "out")
    )  # fmt: skip
    _, expected = butter(2, 1 / (2**0.5 * 1e4 * 1e-8), analog=True)
    below = np.array([float(c) for c in found.denominator][::-1])
    assert below / below[0] == pytest.approx(expected, rel=1e-12)


def test_response_against_python_control() -> None:
    found = spectrum(RAISED)
    system = control.tf(*([float(c) for c in side][::-1] for side in (found.numerator, found.denominator)))
    frequencies = np.geomspace(1, 1e6, 61)
    assert found.sample(frequencies) == pytest.approx(system(2j * pi * frequencies), rel=1e-9)
    assert sorted(found.poles, key=str) == pytest.approx(sorted(system.poles(), key=str), rel=1e-9)
