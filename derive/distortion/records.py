"""What is found about the harmonics at a node.

Enters: nothing. Leaves: records. Must not know: how it was found, LaTeX.

Phasors are peaks: a sine of peak a is Re(a exp(jwt)). Of a current through a device, i = g1 v + g2 v² + g3 v³ and with
two controls their products; of a charge likewise, its current being its rate of change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from derive.circuit.records import Study
from derive.derivation.records import Step
from derive.expression.tree import Expr
from derive.network.records import Edge
from derive.words import Words

Powers = tuple[int, ...]
"""Which controls a term multiplies: (0, 0) is the first one squared, (0, 1) the product of both."""


@dataclass(frozen=True)
class Term:
    """One term of second or third order. ``number`` in A/V², A/V³ or C/V², C/V³. ``formula`` over symbols of the sheet,
    None where it is a number alone: ``linear`` (symbols of the network) times ``rest`` (parameters)."""

    powers: Powers
    number: float
    linear: Expr | None = None
    rest: Expr | None = None


@dataclass(frozen=True)
class Nonlinearity:
    """One way in which one device bends. Its current leaves the first node of ``edge`` and enters the second;
    ``controls``: the voltages it depends on. ``limit``: the swing of the first control (V peak) up to which two terms
    tell the law; ``scale`` is that limit in words."""

    key: str
    owner: str
    kind: Literal["current", "charge"]
    words: Words
    edge: Edge
    controls: tuple[Edge, ...]
    second: tuple[Term, ...]
    third: tuple[Term, ...]
    limit: float
    scale: Words
    element: str
    """The linear element that it bends: gm_Q1, Cmu_Q1."""


@dataclass(frozen=True)
class Share:
    """What one nonlinearity does at the output. ``swing``: of its first control at the fundamental (V peak);
    ``second``, ``third``: phasors at the output (V); ``own``: the part of ``third`` by its own third power, the rest
    being the mixing of the second harmonic with the fundamental."""

    source: Nonlinearity
    swing: complex
    second: complex
    third: complex
    own: complex


@dataclass(frozen=True)
class Loop:
    """What the loop of a device's own gm takes from what that device adds. ``at``, ``at_double``: the return ratio at
    the fundamental and at the second harmonic; ``bypass``: the part of the fundamental that does not go through gm;
    ``difference``: the largest relative difference of the identities."""

    of: str
    at: complex
    at_double: complex
    bypass: complex
    difference: float


@dataclass(frozen=True)
class Region:
    """How near a device comes to leaving its region: the swing of its output voltage and the room for it (V)."""

    owner: str
    swing: float
    room: float


@dataclass(frozen=True)
class DistortionStudy:
    """The harmonics at one node. ``peak``: of the signal (V or A); ``fundamental``, ``second``, ``third``: phasors at
    the output (V). ``shares``: largest second harmonic first. ``frequencies`` with ``curves``: the ratios of second
    and third harmonic to the fundamental. ``algebra``: the dominant term as steps. ``trusted``: the peak of the signal
    up to which the series is trusted; ``far_ends``: how the far end of a capacitance follows its near end, by key;
    ``band`` in Hz; ``difference``: from the kernel's transfers, relative."""

    study: Study
    unit: str
    peak: float
    fundamental: complex
    second: complex
    third: complex
    shares: tuple[Share, ...]
    frequencies: tuple[float, ...]
    curves: tuple[tuple[float, ...], tuple[float, ...]]
    algebra: tuple[Step, ...]
    loop: Loop | None
    regions: tuple[Region, ...]
    trusted: float
    far_ends: Mapping[str, complex]
    band: tuple[float, float]
    told: tuple[Words, ...]
    difference: float
