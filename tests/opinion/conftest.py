"""Small networks with answers known from textbooks, written straight from the records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction as F
from random import Random

import pytest

from derive.answers.records import Inquiry
from derive.constants import exact_sqrt, thermal_voltage
from derive.network.records import Element, Law, Network, Symbol
from derive.opinion.second import Opinion, start

UNITS = {
    "resistance": "Ω", "conductance": "S", "capacitance": "F", "inductance": "H",
    "unity": "1", "ratio": "1", "delay": "s",
}  # fmt: skip
Polynomials = tuple[tuple[F, ...], tuple[F, ...]]


@dataclass(frozen=True)
class Case:
    """An inquiry, its numbers, and the textbook's N(s) and D(s), lowest power first (None: no formula)."""

    inquiry: Inquiry
    values: Mapping[str, F]
    expected: Polynomials | None


class Bench:
    """A network in the making; every symbol bears the bench's suffix, so that one table holds all."""

    def __init__(self, suffix: str) -> None:
        self.suffix = suffix
        self.elements: list[Element] = []
        self.forced: list[Element] = []
        self.values: dict[str, F] = {}
        self.units: dict[str, str] = {}

    def add(self, name: str, law: Law, edge: str, value: object, sense: str | None = None) -> F:
        full, current = f"{name}_{self.suffix}", tuple(edge.split())
        voltage = current if sense is None else tuple(sense.split())
        self.elements.append(Element(full, full, law, current, voltage))
        self.values[full], self.units[full] = F(value), UNITS[law]
        return self.values[full]

    def force(self, edge: str, sense: str | None = None) -> None:
        current = tuple(edge.split())
        voltage = current if sense is None else tuple(sense.split())
        self.forced.append(Element(f"X{len(self.forced)}", "X", "unity", current, voltage))

    def ask(self, excitation, port, above, below=None, factor=None, expected=None) -> Case:
        symbols = {name: Symbol(name, name, "", self.units[name], v) for name, v in self.values.items()}
        held = tuple(e for e in self.elements if factor is None or e.name != f"{factor}_{self.suffix}")
        network = Network(held, tuple(self.forced), (), symbols, {})
        edges = [None if edge is None else tuple(edge.split()) for edge in (port, above, below)]
        named = None if factor is None else f"{factor}_{self.suffix}"
        return Case(Inquiry(self.suffix, network, excitation, *edges, named), self.values, expected)


def degenerated_stage() -> list[Case]:
    """Common emitter with emitter resistor: A = -beta·Rc/(rpi + (beta + 1)·Re), Rin = rpi + (beta + 1)·Re,
    and the return ratio of gm with the base at signal ground, gm·(rpi || Re). (A. S. Sedra, K. C. Smith,
    "Microelectronic Circuits", common-emitter amplifier with an emitter resistance; from memory.)
    """
    cases = []
    for suffix in ("stage_gain", "stage_input", "stage_return_ratio"):
        bench = Bench(suffix)
        gm = bench.add("gm", "conductance", "c e", F("0.001") / thermal_voltage(F("298.15")), "b e")
        rpi = bench.add("rpi", "resistance", "b e", 200 / gm)
        rc, re = bench.add("Rc", "resistance", "c gnd", 4700), bench.add("Re", "resistance", "e gnd", 470)
        beta = gm * rpi
        match suffix:
            case "stage_gain":
                expected = ((-beta * rc,), (rpi + (beta + 1) * re,))
                cases.append(bench.ask("voltage", "b gnd", "c gnd", expected=expected))
            case "stage_input":
                expected = ((rpi + (beta + 1) * re,), (F(1),))
                cases.append(bench.ask("current", "b gnd", "b gnd", expected=expected))
            case _:
                bench.force("b gnd")
                expected = ((gm * rpi * re,), (rpi + re,))
                cases.append(bench.ask("current", "c e", "b e", factor="gm", expected=expected))
    return cases


def bootstrapped_follower() -> list[Case]:
    """Source follower, gate resistor R1 to the tap of the source resistors R2, R3. By hand from the two node
    equations: Zin = R1·(1 + R3·gm/(1 + gm·R2)) + R3.
    """
    bench = Bench("bootstrap")
    gm = bench.add("gm", "conductance", "gnd s", 2 * exact_sqrt(F("0.008") * F("0.0013")) / 3, "g s")
    r1, r2 = bench.add("R1", "resistance", "g t", "1e6"), bench.add("R2", "resistance", "s t", 680)
    r3 = bench.add("R3", "resistance", "t gnd", 6800)
    impedance = r1 * (1 + r3 * gm / (1 + gm * r2)) + r3
    return [bench.ask("current", "g gnd", "g gnd", expected=((impedance,), (F(1),)))]


def sallen_key() -> list[Case]:
    """Unity gain: H = 1/(1 + s·C2·(R1 + R2) + s²·R1·R2·C1·C2). (R. P. Sallen, E. L. Key, "A practical method
    of designing RC active filters", IRE Trans. Circuit Theory, 1955; from memory.)
    """
    bench = Bench("sallen_key")
    r1, r2 = bench.add("R1", "resistance", "in m", 10000), bench.add("R2", "resistance", "m p", 12000)
    c1 = bench.add("C1", "capacitance", "m out", "33e-9")
    c2 = bench.add("C2", "capacitance", "p gnd", "15e-9")
    bench.add("RL", "resistance", "out gnd", 2200)
    bench.force("out gnd", "p out")
    expected = ((F(1),), (F(1), c2 * (r1 + r2), r1 * r2 * c1 * c2))
    return [bench.ask("voltage", "in gnd", "out gnd", expected=expected)]


def butterworth_ladder() -> list[Case]:
    """Third order between equal resistors, g = 1, 2, 1: half of 1/(1 + 2s + 2s² + s³). (A. I. Zverev,
    "Handbook of Filter Synthesis", Butterworth tables; from memory.)
    """
    bench = Bench("ladder")
    for name, edge in (("Rs", "in a"), ("Rl", "b gnd")):
        bench.add(name, "resistance", edge, 1)
    for name, edge in (("C1", "a gnd"), ("C3", "b gnd")):
        bench.add(name, "capacitance", edge, 1)
    bench.add("L2", "inductance", "a b", 2)
    return [bench.ask("voltage", "in gnd", "b gnd", expected=((F(1),), (F(2), F(4), F(4), F(2))))]


def transconductance() -> list[Case]:
    """The current leaves the first output node, so a positive voltage at the first sensing node pulls it
    down: V(out) = -g·R·V(in); the current of one ampere that enters a node lifts it by R.
    """
    down, up = Bench("pulls_down"), Bench("lifts")
    g = down.add("G1", "conductance", "out gnd", "0.002", "in gnd")
    r = down.add("R1", "resistance", "out gnd", 50)
    lifted = up.add("R1", "resistance", "a b", 75)
    up.add("R2", "resistance", "b gnd", 10)
    return [
        down.ask("voltage", "in gnd", "out gnd", "in gnd", expected=((-g * r,), (F(1),))),
        up.ask("current", "a b", "a b", expected=((lifted,), (F(1),))),
    ]


def forced_elements() -> list[Case]:
    """Two shorts in parallel across a capacitor; an integrator whose op amp's output floats on node b."""
    short, floating = Bench("parallel_shorts"), Bench("floating_nullor")
    r1, r2 = short.add("R1", "resistance", "in a", 10), short.add("R2", "resistance", "b gnd", 30)
    short.add("C1", "capacitance", "a b", "1e-6")
    short.force("a b")
    short.force("b a")
    rs = floating.add("Rs", "resistance", "in n", 1000)
    cf = floating.add("Cf", "capacitance", "n out", "1e-7")
    floating.add("Rb", "resistance", "b gnd", 5)
    floating.force("out b", "gnd n")
    return [
        short.ask("voltage", "in gnd", "b gnd", expected=((r2,), (r1 + r2,))),
        floating.ask("voltage", "in gnd", "out gnd", expected=((F(-1),), (F(0), rs * cf))),
    ]


def controlled_reactances() -> list[Case]:
    """A current of sC·V or V/(sL) into a resistor, and the same as factors of an answer."""
    cases = []
    for law, value, expected in (
        ("capacitance", F("1e-9"), lambda v: ((F(0), -40 * v), (F(1),))),
        ("inductance", F("1e-3"), lambda v: ((F(-40),), (F(0), v))),
        ("resistance", F(16), lambda v: ((F(-40),), (v,))),
    ):
        bench = Bench(f"controlled_{law}")
        bench.add("X1", law, "out gnd", value, "in gnd")
        bench.add("R1", "resistance", "out gnd", 40)
        cases.append(bench.ask("voltage", "in gnd", "out gnd", expected=expected(value)))
        bench = Bench(f"factor_{law}")
        bench.add("X1", law, "out gnd", value, "in gnd")
        bench.add("R1", "resistance", "out gnd", 40)
        numerator, denominator = expected(value)
        opposite = tuple(-c for c in numerator)
        ask = bench.ask("current", "out gnd", "out gnd", factor="X1", expected=(opposite, denominator))
        cases.append(ask)
    return cases


def finite_opamp() -> list[Case]:
    """Inverting amplifier, gain a0 and time constant tau: -R2/(R1 + (R1 + R2)(1/a0 + s tau)); its input resistance.
    (A. S. Sedra, K. C. Smith, "Microelectronic Circuits", effect of finite open-loop gain and bandwidth; from memory.)
    Besides, the same losses as controlled elements.
    """
    cases = []
    for suffix in ("opamp_gain", "opamp_input"):
        bench = Bench(suffix)
        r1, r2 = bench.add("R1", "resistance", "in m", 1000), bench.add("R2", "resistance", "m out", 47000)
        bench.elements.append(Element("U1", "U1", "unity", ("gnd", "x"), ("gnd", "m")))
        a0, tau = bench.add("a0", "ratio", "x gnd", 20000), bench.add("tau", "delay", "x gnd", F("159e-9"))
        bench.force("out gnd", "x out")
        constant, slope = r1 + (r1 + r2) / a0, (r1 + r2) * tau
        if suffix == "opamp_gain":
            cases.append(bench.ask("voltage", "in gnd", "out gnd", expected=((-r2,), (constant, slope))))
        else:
            expected = ((constant, slope), (1 + 1 / a0, tau))
            cases.append(bench.ask("current", "in gnd", "in gnd", expected=expected))
    for law, value, expected in (("ratio", F(16), ((F(-40),), (F(16),))), ("delay", F(3), ((F(0), F(-120)), (F(1),)))):
        bench = Bench(f"controlled_{law}")
        bench.add("X1", law, "out gnd", value, "in gnd")
        bench.add("R1", "resistance", "out gnd", 40)
        cases.append(bench.ask("voltage", "in gnd", "out gnd", expected=expected))
    return cases


def random_network(seed: int) -> Case:
    """Resistors to a random tree, then transistors, capacitors, an inductor and an ideal op amp anywhere."""
    random, bench = Random(seed), Bench(f"random_{seed}")
    nodes = ["gnd", *(f"n{k}" for k in range(random.randint(4, 8)))]
    for k in range(1, len(nodes)):
        edge = f"{nodes[k]} {nodes[random.randrange(k)]}"
        bench.add(f"R{k}", "resistance", edge, random.randint(10, 10**6))
    for k in range(random.randint(1, 3)):
        c, b, e = random.sample(nodes, 3)
        bench.add(f"gm{k}", "conductance", f"{c} {e}", F(random.randint(1, 99), 1000), f"{b} {e}")
        bench.add(f"rpi{k}", "resistance", f"{b} {e}", random.randint(500, 9999))
        bench.add(f"cpi{k}", "capacitance", f"{b} {e}", F(random.randint(1, 99), 10**12))
        bench.add(f"cmu{k}", "capacitance", f"{c} {b}", F(random.randint(1, 9), 10**12))
    first, second = random.sample(nodes, 2)
    bench.add("L1", "inductance", f"{first} {second}", F(random.randint(1, 99), 1000))
    if seed % 2:
        plus, minus = random.sample(nodes[1:], 2)
        bench.force(f"{nodes[-1]} gnd", f"{plus} {minus}")
    excitation = "voltage" if seed % 3 else "current"
    return bench.ask(excitation, "n0 gnd", "n2 gnd", "n1 gnd" if seed % 4 == 0 else None)


CASES = [
    *degenerated_stage(), *bootstrapped_follower(), *sallen_key(), *butterworth_ladder(), *transconductance(),
    *forced_elements(), *controlled_reactances(), *finite_opamp(), *(random_network(seed) for seed in range(8)),
]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        wanted = metafunc.definition.get_closest_marker("cases")
        chosen = [case for case in CASES if wanted is None or wanted.args[0](case)]
        metafunc.parametrize("case", chosen, ids=[case.inquiry.name for case in chosen])


@pytest.fixture(scope="session")
def values() -> dict[str, F]:
    return {name: value for case in CASES for name, value in case.values.items()}


@pytest.fixture(scope="session")
def opinions(values: dict[str, F]) -> dict[str, Opinion | str]:
    """lcapy's opinion on every case, from one process."""
    return start([case.inquiry for case in CASES], values).opinions(120)


@pytest.fixture(scope="session")
def stage() -> Case:
    return CASES[0]


@pytest.fixture(scope="session")
def ladder() -> Case:
    return next(case for case in CASES if case.inquiry.name == "ladder")


@pytest.fixture
def two_cases() -> list[Case]:
    return CASES[3:5]
