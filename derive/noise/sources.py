"""The sources of noise of a circuit, each with its law and its number.

Enters: a circuit with its bias point and its network. Leaves: sources, and sentences on what was taken or left out.
Must not know: what the noise does, LaTeX.

Thermal noise 4kT/R (H. Nyquist, Phys. Rev. 32 (1928) 110; from memory) of real resistors and of rb only: rpi, ro and
rd are slopes of currents and have none. Shot noise 2qI of each current that crosses a junction (W. Schottky 1918; P.
R. Gray et al., "Analysis and Design of Analog Integrated Circuits", chapter 11; from memory); of a diode both ways,
2q(I + 2Is). Channel of a FET 4kT·(2/3)·gm once pinched off; below, the same law with g0 = gm + 1/ro, the channel's
conductance at Vds = 0: 4kT·(2/3)·(g0² + g0/ro + 1/ro²)/(g0 + 1/ro), which ends at 4kT/ro (A. van der Ziel, "Noise in
Solid State Devices and Circuits"; from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from derive.bias.records import Bias, DevicePoint
from derive.circuit.parts import is_stated
from derive.circuit.records import GROUND, Part
from derive.constants import BOLTZMANN, ELEMENTARY_CHARGE
from derive.derivation.analyse import Prepared
from derive.expression.tree import Expr, Num, Power, Quotient, Sym, evaluate, product, quotient, total
from derive.network.records import Edge
from derive.noise.records import Kind, NoiseSource
from derive.words import Formula, Node, Words

K, T, Q = Sym("k"), Sym("T"), Sym("q")
TWO, FOUR, TWO_THIRDS = Num(Fraction(2)), Num(Fraction(4)), Num(Fraction(2, 3))


@dataclass
class Gathered:
    """Sources and remarks while they are gathered; ``values``: the numbers of all symbols, k, T and q among them."""

    prepared: Prepared
    found: list[NoiseSource] = field(default_factory=list)
    told: list[Words] = field(default_factory=list)

    def __post_init__(self) -> None:
        temperature = self.prepared.circuit.about.temperature
        self.values = {**self.prepared.network.values(), "k": BOLTZMANN, "T": temperature, "q": ELEMENTARY_CHARGE}
        self.edges: dict[str, Edge] = {e.name: e.current for e in self.prepared.network.elements}

    def point(self, part: Part) -> DevicePoint | None:
        bias = self.prepared.bias
        return bias.point.devices.get(part.name) if isinstance(bias, Bias) else None

    def parameter(self, name: str) -> Fraction | None:
        """A parameter of a device's law."""
        bias = self.prepared.bias
        found = {p.name: p.value for p in bias.parameters} if isinstance(bias, Bias) else {}
        return found.get(name)

    def has(self, symbol: str) -> bool:
        return symbol in self.prepared.network.symbols

    def add(
        self, key: str, part: Part, kind: Kind, words: Words, law: Expr, port: Edge | None, corner: str | None = None
    ) -> None:
        """Enters a source of current between two nodes; one whose ends are one node does nothing."""
        if port is None or port[0] == port[1]:
            return
        stated = part.values.get(corner) if corner else None
        hertz = None if stated is None else float(stated.value)
        density = float(evaluate(law, self.values))
        self.found.append(NoiseSource(key, part.name, kind, words, law, density, port, "current", hertz))

    def nodes(self, part: Part, first: str, second: str | None) -> Edge:
        network = self.prepared.network
        return network.node(part.pins[first]), network.node(part.pins[second]) if second else GROUND


def sources(prepared: Prepared) -> tuple[tuple[NoiseSource, ...], tuple[Words, ...]]:
    """All sources, in the order of the parts, and what has to be said about them."""
    gathered = Gathered(prepared)
    for part in prepared.circuit.parts.values():
        if part.kind in _SOURCES:
            _SOURCES[part.kind](part, gathered)
    return tuple(gathered.found), tuple(gathered.told)


def _thermal(part: Part, gathered: Gathered, symbol: str) -> None:
    law = quotient(product(FOUR, K, T), Sym(symbol))
    gathered.add(symbol, part, "thermal", ("thermal, ", Formula(Sym(symbol))), law, gathered.edges.get(symbol))


def _resistor(part: Part, gathered: Gathered) -> None:
    _thermal(part, gathered, part.name)


def _bipolar(part: Part, gathered: Gathered) -> None:
    name = part.name
    if f"rb_{name}" in gathered.edges:
        _thermal(part, gathered, f"rb_{name}")
    point = gathered.point(part)
    if point is not None and point.region in ("saturated", "reversed") and gathered.has(f"Ib_{name}"):
        gathered.told.append((
            Node(name), f" is {point.region}: shot noise is taken of its collector and its base current alone, and "
                        f"not of "
            "the currents both ways that make them up, so that its noise is understated.",
        ))  # fmt: skip
    if gathered.has(f"Ic_{name}"):
        collector: Expr = product(TWO, Q, Sym(f"Ic_{name}"))
        base_current: Expr = Sym(f"Ib_{name}")
        if not gathered.has(f"Ib_{name}"):
            base_current = quotient(Sym(f"Ic_{name}"), Sym(f"beta_{name}"))
        base = product(TWO, Q, base_current)
    else:
        collector = product(TWO, K, T, Sym(f"gm_{name}"))
        base = quotient(product(TWO, K, T), Sym(f"rpi_{name}"))
        if f"gm_{name}" in gathered.edges:
            gathered.told.append((
                "The currents of ", Node(name), " are not known; its shot noise is that of the currents at which a "
                "bipolar has the stated slopes, ", Formula(quotient(product(K, T, Sym(f"gm_{name}")), Q)), " and ",
                Formula(quotient(product(K, T), product(Q, Sym(f"rpi_{name}")))), ".",
            ))  # fmt: skip
    gm, rpi = gathered.edges.get(f"gm_{name}"), gathered.edges.get(f"rpi_{name}")
    gathered.add(f"c_{name}", part, "shot", ("shot, collector current of ", Node(name)), collector, gm)
    gathered.add(f"b_{name}", part, "shot", ("shot, base current of ", Node(name)), base, rpi, "corner")


def _fet(part: Part, gathered: Gathered) -> None:
    name = part.name
    gm, ro = gathered.edges.get(f"gm_{name}"), gathered.edges.get(f"ro_{name}")
    point = gathered.point(part)
    four = product(FOUR, K, T, TWO_THIRDS)
    law: Expr = product(four, Sym(f"gm_{name}"))
    if point is not None and point.region == "ohmic" and ro is not None and gathered.has(f"gm_{name}"):
        conductance = quotient(Num(Fraction(1)), Sym(f"ro_{name}"))
        whole = total(Sym(f"gm_{name}"), conductance)
        above = total(Power(whole, 2), product(whole, conductance), Power(conductance, 2))
        law = product(four, Quotient(above, total(whole, conductance)))
    if gm is None and ro is not None and not gathered.has(f"gm_{name}"):
        law = quotient(product(FOUR, K, T), Sym(f"ro_{name}"))
    channel = gm or ro
    if channel is not None:
        gathered.add(f"d_{name}", part, "channel", ("channel of ", Node(name)), law, channel, "corner")
    if "igss" in part.values:
        symbol = f"IG_{name}"
        gathered.values[symbol] = part.values["igss"].value
        leak = product(TWO, Q, Sym(symbol))
        gathered.add(f"g_{name}", part, "shot", ("shot, gate current of ", Node(name)), leak,
                     gathered.nodes(part, "gate", "source"))  # fmt: skip
    elif part.kind == "jfet":
        gathered.told.append(("No gate current of ", Node(name), " is stated (igss), so it has no noise here."))


def _diode(part: Part, gathered: Gathered) -> None:
    name, port = part.name, gathered.edges.get(f"rd_{part.name}")
    if port is None:
        return
    if part.variety == "zener":
        gathered.told.append(("The noise of ", Node(name), "'s breakdown has no law here and is left out."))
        return
    point = gathered.point(part)
    current, saturation = Sym(f"Id_{name}"), Sym(f"Is_{name}")
    both: Expr = product(TWO, Q, total(current, product(TWO, saturation)))
    law = both
    known = gathered.parameter(f"Is_{name}")
    if gathered.has(f"Id_{name}") and gathered.has(f"Is_{name}"):
        pass
    elif point is not None and not is_stated(part) and known is not None:
        # Conducting so much that Is does not count, or blocking, where it is all there is.
        gathered.values |= {f"Id_{name}": Fraction(f"{point.currents['anode']:.11e}"), f"Is_{name}": known}
        law = both if point.region == "blocking" else product(TWO, Q, current)
    elif gathered.has(f"Id_{name}"):
        law = product(TWO, Q, current)
    elif "rd" in part.values:
        law = quotient(product(TWO, K, T), Sym(f"rd_{name}"))
        words = " is not known; its shot noise is that of the current at which a diode with n = 1 has the stated rd."
        gathered.told.append(("The current of ", Node(name), words))
    else:
        gathered.told.append((Node(name), " blocks: the noise of its saturation current is left out."))
        return
    gathered.add(f"j_{name}", part, "shot", ("shot, current of ", Node(name)), law, port)


def _opamp(part: Part, gathered: Gathered) -> None:
    name = part.name
    lacking = [key for key in ("en", "in") if key not in part.values]
    for key in ("en", "in"):
        if key in part.values:
            gathered.values[f"{key}_{name}"] = part.values[key].value
    if "en" in part.values:
        law = Power(Sym(f"en_{name}"), 2)
        corner = part.values.get("en_corner")
        gathered.found.append(NoiseSource(
            f"e_{name}", name, "stated", ("input voltage of ", Node(name)), law, float(evaluate(law, gathered.values)),
            gathered.nodes(part, "plus", "minus"), "voltage", None if corner is None else float(corner.value),
        ))  # fmt: skip
    if "in" in part.values:
        for pin in ("plus", "minus"):
            words: Words = ("input current of ", Node(name), f", {pin}")
            law = Power(Sym(f"in_{name}"), 2)
            gathered.add(f"i{pin[0]}_{name}", part, "stated", words, law, gathered.nodes(part, pin, None), "in_corner")
    if lacking:
        words = ("No ", " and no ".join(lacking), " of ", Node(name), " is stated: it is taken as without that noise.")
        gathered.told.append(words)


def _silent(part: Part, gathered: Gathered) -> None:
    gathered.told.append((Node(part.name), " is a controlled source by itself and is taken as without noise."))


_SOURCES: dict[str, Callable[[Part, Gathered], None]] = {
    "resistor": _resistor,
    "bjt": _bipolar,
    "jfet": _fet,
    "mosfet": _fet,
    "diode": _diode,
    "opamp": _opamp,
    "transconductance": _silent,
}
