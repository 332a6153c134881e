"""The circuit as its author described it, checked and with every node resolved.

Enters: the validated description. Leaves: these records, which all later stages read.
Must not know: matrices, symbols of the small-signal network, LaTeX.

Nodes are names; pins that share a node have been given its one name. Ground is ``gnd``. Values are exact
and in SI base units. ``path`` is the key path in the description, with which an error finds its line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from derive.circuit.hints import Hints, Scan
from derive.circuit.wanted import Wanted
from derive.expression.tree import Expr, Relation

if TYPE_CHECKING:
    from derive.description.source import Source

GROUND = "gnd"
Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Quantity:
    """An exact value in SI base units, its unit (``Ω``, ``F``, ``1/V``, ``1`` for a ratio), and how it was written.

    ``at``: the condition under which it holds, where it has one (``0.65 V at 2 mA``).
    """

    value: Fraction
    unit: str
    text: str
    at: Quantity | None = None


@dataclass(frozen=True)
class Part:
    """One part: a kind of derive.circuit.parts.KINDS, its variety, the node of each pin, the stated values.

    ``kind``: resistor, capacitor, inductor, diode, bjt, jfet, mosfet, opamp, transconductance, supply, signal.
    ``variety``: npn, pnp, n-channel, p-channel, ideal, finite, voltage, current, silicon… or "".
    ``pins``: pin name to node, in the order of the kind's table. Two-terminal parts have ``first`` and
    ``second`` (the order of ``between``; of ``from`` for a transconductance, which adds ``sense_first`` and
    ``sense_second``); a supply ``at`` a node has ``first`` = that node, ``second`` = ground.
    ``values``: stated values by key (``resistance`` for a resistor, ``capacitance``, ``inductance``,
    ``transconductance``, ``voltage`` for a supply; else the key of the description: beta, ic, gm, cgs, rating…).
    ``mains``: whether the author says that the part is on the mains.
    ``tolerances``: of a device, by the key of the stated value (that of other parts is ``values["tolerance"]``);
    ``together``: whether Idss and Vp of a FET move as one.
    """

    name: str
    kind: str
    variety: str
    pins: Mapping[str, str]
    values: Mapping[str, Quantity]
    path: Path
    mains: bool = False
    tolerances: Mapping[str, Quantity] = field(default_factory=dict)
    together: bool = True

    def __post_init__(self) -> None:
        object.__setattr__(self, "pins", MappingProxyType(dict(self.pins)))
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))
        object.__setattr__(self, "tolerances", MappingProxyType(dict(self.tolerances)))


@dataclass(frozen=True)
class Gain:
    """V(to)/V(source), or V(to)/I where the source is a signal current (``source`` is then its part's name).

    ``driven_by``: the name of the signal that excites, all others being zero. ``source`` is a node, or None
    when the excitation is a signal current.
    """

    source: str | None
    to: str
    driven_by: str


@dataclass(frozen=True)
class Impedance:
    """V/I at the port from ``plus`` to ``minus`` with signals zeroed and the parts in ``without`` lifted."""

    plus: str
    minus: str
    without: tuple[str, ...]


@dataclass(frozen=True)
class ReturnRatio:
    """T of a controlled source, named by its symbol (``gm_Q2``, or the name of a transconductance part).

    ``device``: whether ``of`` is an op amp, which is a part and no symbol.
    """

    of: str
    device: bool = False


@dataclass(frozen=True)
class Bootstrap:
    """A = V(far)/V(near) of a two-terminal part under the signal ``driven_by``, and 1/(1 - A)."""

    part: str
    near: str
    far: str
    driven_by: str


Ask = Gain | Impedance | ReturnRatio | Bootstrap


@dataclass(frozen=True)
class Noise:
    """The noise voltage at a node. ``referred_to``: the signal it is referred to (its part's name), or None;
    ``source``: the resistor that is the signal's own resistance, for the noise figure, or None."""

    at: str
    driven_by: str | None
    source: str | None


@dataclass(frozen=True)
class Distortion:
    """The harmonics at a node under a sine of the signal ``driven_by``. ``peak``: its peak in volts or amperes where
    ``of`` is "signal", that of the fundamental at ``to`` (V) where it is "output"; ``counted``: how the author wrote
    it; ``frequency`` in Hz."""

    to: str
    driven_by: str
    peak: Fraction
    counted: Literal["peak", "rms"]
    of: Literal["signal", "output"]
    frequency: Fraction


@dataclass(frozen=True)
class Study:
    """A question that is no ratio in the network: how much it hisses, how much it distorts."""

    name: str
    ask: Noise | Distortion
    path: Path


@dataclass(frozen=True)
class Question:
    """``within``: the error up to which a short form is asked for, or None. ``certify``: whether the error of its
    approximate answer is to be certified. ``accuracy``: that within which the tool is asked to propose statements, or
    None. ``loop``: the controlled source around which feedback formulas are written, ``extra``: the part (or symbol)
    that is taken out by the extra element theorem, where the author names them.
    """

    name: str
    ask: Ask
    path: Path
    within: Fraction | None = None
    certify: bool = False
    accuracy: Fraction | None = None
    loop: str | None = None
    extra: str | None = None


@dataclass(frozen=True)
class Connection:
    """One connection that is cut for comparison: ``pin`` of ``part``, on ``node``, held at signal ground instead.

    ``compare``: the names of the questions whose answers are compared; ``loop``: the controlled source whose return
    ratio is, or None for the one with the largest. ``within``: the error that its short forms may have, or None.
    """

    name: str
    part: str
    pin: str
    node: str
    compare: tuple[str, ...]
    loop: str | None
    path: Path
    within: Fraction | None = None


@dataclass(frozen=True)
class Sweep:
    """Stability over a value from ``low`` to ``high`` (SI units): that of ``part``, or of an element of this kind added
    between node ``at`` and ground. ``loop``: the controlled source whose phase margin is told, or None."""

    name: str
    kind: str
    low: Quantity
    high: Quantity
    part: str | None
    at: str | None
    loop: str | None
    path: Path


@dataclass(frozen=True)
class Statement:
    """A stated approximation, not yet resolved against the network's symbols.

    Exactly one of ``relation`` (``>>``, ``<<``, ``->``), ``short``, ``open`` (names of parts) and
    ``ideal_bootstrap`` (name of a part) is set. ``questions``: the names it applies to; () means all.
    ``number`` counts from one: A1, A2… ``text`` is what the author wrote. ``proposed``: it was found by the tool for
    an accuracy that was asked.
    """

    number: int
    text: str
    path: Path
    relation: Relation | None = None
    short: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    ideal_bootstrap: str | None = None
    because: str | None = None
    name: str | None = None
    questions: tuple[str, ...] = ()
    proposed: bool = False


@dataclass(frozen=True)
class Claim:
    """A result by hand about the answer to the question ``of``: what it says, not yet read."""

    of: str
    says: str
    path: Path
    name: str | None = None
    because: str | None = None


@dataclass(frozen=True)
class About:
    """What the author says of the sheet. Frequencies in Hz, temperature in K.

    ``temperatures``: lowest and highest, where a range is asked; ``temperature`` is that of the numbers.
    """

    title: str
    purpose: str | None = None
    author: str | None = None
    owner: str | None = None
    approved: str | None = None
    number: str | None = None
    revision: str | None = None
    date: str | None = None
    language: str = "en"
    temperature: Fraction = Fraction("298.15")
    temperatures: tuple[Fraction, Fraction] | None = None
    band: tuple[Fraction, Fraction] = (Fraction(20), Fraction(20000))
    spot: Fraction = Fraction(1000)
    certify: bool = False
    accuracy: Fraction | None = None
    vary: tuple[str, ...] = ()
    """Symbols that a reader of the page may vary."""


@dataclass(frozen=True)
class Circuit:
    about: About
    parts: Mapping[str, Part]
    nodes: tuple[str, ...]
    questions: tuple[Question, ...]
    statements: tuple[Statement, ...]
    source: Source = field(repr=False)
    near: Mapping[str, Quantity] = field(default_factory=dict)
    """Voltages of nodes near which the operating point is sought."""
    aliases: Mapping[str, str] = field(default_factory=dict)
    """The author's own spelling of symbols, for what is written by hand."""
    claims: tuple[Claim, ...] = ()
    connections: tuple[Connection, ...] = ()
    sweeps: tuple[Sweep, ...] = ()
    hints: Hints = field(default_factory=Hints)
    scan: Scan | None = None
    studies: tuple[Study, ...] = ()
    """Questions of noise and of distortion."""
    wanted: Wanted = field(default_factory=Wanted)

    def __post_init__(self) -> None:
        object.__setattr__(self, "parts", MappingProxyType(dict(self.parts)))
        object.__setattr__(self, "near", MappingProxyType(dict(self.near)))
        object.__setattr__(self, "aliases", MappingProxyType(dict(self.aliases)))


__all__ = [
    "GROUND",
    "About",
    "Ask",
    "Bootstrap",
    "Circuit",
    "Claim",
    "Connection",
    "Distortion",
    "Expr",
    "Gain",
    "Impedance",
    "Noise",
    "Part",
    "Path",
    "Quantity",
    "Question",
    "ReturnRatio",
    "Statement",
    "Study",
    "Sweep",
]
