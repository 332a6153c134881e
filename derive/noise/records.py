"""What is found about the noise at a node.

Enters: nothing. Leaves: records. Must not know: how it was found, LaTeX.

Densities are one-sided: per hertz of positive frequency, in V²/Hz or A²/Hz; their roots in V/√Hz and A/√Hz.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.answers.records import Inquiry
from derive.circuit.records import Study
from derive.derivation.records import Step
from derive.expression.tree import Expr
from derive.network.records import Edge
from derive.words import Words

Kind = Literal["thermal", "shot", "channel", "stated"]


@dataclass(frozen=True)
class NoiseSource:
    """One source of noise, independent of all others.

    ``port``: a current leaves its first node through the source and enters the second; or, where ``excitation`` is
    "voltage", the source stands in series with the plus input of the op amp ``owner``. ``law``: its white density over
    symbols, k, T and q; ``density``: its number in A²/Hz or V²/Hz; ``corner``: the frequency in Hz at which flicker
    noise equals it, or None. ``words`` name it; ``key`` is its name in the record and in that of its transfer.
    """

    key: str
    owner: str
    kind: Kind
    words: Words
    law: Expr
    density: float
    port: Edge
    excitation: Literal["voltage", "current"] = "current"
    corner: float | None = None

    def at(self, frequency: float) -> float:
        """Its density at a frequency in Hz, flicker included."""
        return self.density if self.corner is None else self.density * (1 + self.corner / frequency)


@dataclass(frozen=True)
class Part:
    """What one source does at the output. ``transfer`` at the spot (Ω, or V/V), ``density`` there in V²/Hz, ``share``
    of the whole density at the spot, ``band``: V² over the band; ``everywhere``: V² over all frequencies, None where
    that has no bound. ``curve``: V/√Hz at the frequencies of the study. ``steps``: its transfer as algebra."""

    source: NoiseSource
    inquiry: Inquiry
    transfer: complex
    density: float
    share: float
    band: float
    everywhere: float | None
    curve: tuple[float, ...]
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class Referred:
    """The noise at the input. ``unit`` V or A; ``gain`` from the signal to the output at the spot; ``density`` in
    unit²/Hz at the spot; ``curve`` in unit/√Hz; ``steps``: the gain as algebra."""

    signal: str
    unit: str
    gain: complex
    density: float
    curve: tuple[float, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Figure:
    """Against the noise of the source's own resistance. ``factor`` at the spot, the source at 290 K.

    ``voltage`` (V/√Hz) and ``current`` (A/√Hz): the equivalent noise at the input, source resistance left out;
    ``together``: real part of their cross density (W/Hz); ``best``: the optimum source resistance in ohms, None where
    there is no noise current; ``least``: the noise factor there. ``checked``: the largest relative difference of the
    two-parameter law from the circuit with twice the resistance. All None where ``why`` says why not.
    """

    resistor: str
    resistance: float
    factor: float
    voltage: float | None = None
    current: float | None = None
    together: float | None = None
    best: float | None = None
    least: float | None = None
    checked: float | None = None
    why: str = ""


@dataclass(frozen=True)
class NoiseStudy:
    """The noise at one node, the parts largest first. ``frequency``: of the numbers, in Hz; ``density`` in V²/Hz there;
    ``band``: V² over the band; ``everywhere``: V² over all frequencies, None where that has no bound; ``frequencies``:
    of the curves; ``told``: sentences on what was taken and what is left out; ``difference``: the largest relative
    difference of a transfer from a plain nodal solution."""

    study: Study
    temperature: float
    frequency: float
    limits: tuple[float, float]
    parts: tuple[Part, ...]
    density: float
    band: float
    everywhere: float | None
    frequencies: tuple[float, ...]
    curve: tuple[float, ...]
    referred: Referred | None
    figure: Figure | None
    told: tuple[Words, ...]
    difference: float
