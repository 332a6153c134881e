"""How devices and op amps are stated: every way that is right, and words for what is not."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.circuit.parts import is_stated
from derive.circuit.records import Part
from derive.description.reader import read_text
from derive.errors import DescriptionError
from tests.description.samples import DIVIDER

PINS = {
    "bjt": 'base = "in", collector = "out", emitter = "gnd"',
    "jfet": 'gate = "in", drain = "out", source = "gnd"',
    "mosfet": 'gate = "in", drain = "out", source = "gnd"',
    "diode": 'anode = "in", cathode = "out"',
    "opamp": 'plus = "in", minus = "out", out = "out"',
    "resistor": 'between = ["in", "out"]',
    "capacitor": 'between = ["in", "out"]',
    "supply": 'at = "vcc"',
}
LOAD = 'R9 = { resistor = "1k", between = ["vcc", "out"] }\n'


def device(kind: str, variety: str, values: str) -> Part:
    """The part X1 beside the divider, on line 6."""
    line = f'X1 = {{ {kind} = "{variety}", {PINS[kind]}{", " * bool(values)}{values} }}'
    rail = "" if kind == "supply" else 'V9 = { supply = "9 V", at = "vcc" }\n'
    text = DIVIDER.replace("\n\n", f"\n{LOAD}{line}\n{rail}\n")
    return read_text(text, "c.toml").parts["X1"]


STATED = [
    ("bjt", "npn", 'ic = "1 mA", beta = 200'),
    ("bjt", "npn", 'ic = "1 mA", hfe = 200, va = "60 V", vbe = "0.65 V at 2 mA"'),
    ("bjt", "pnp", 'gm = "40 mS", rpi = "5k", ro = "50k"'),
    ("bjt", "pnp", 'gm = "40 mS", beta = 200, rating = "0.5 W"'),
    ("bjt", "pnp", 'gm = "40 mS", hfe = 200, cob = "4 pF", ft = "200 MHz"'),
    ("jfet", "n-channel", 'id = "1 mA", idss = "6 mA", vp = "-2 V"'),
    ("jfet", "n-channel", 'id = "6 mA", idss = "6 mA", yfs = "5 mS"'),
    ("jfet", "p-channel", 'gm = "3 mS", ro = "50k", cgs = "4 pF", crss = "1 pF"'),
    ("mosfet", "n-channel", 'id = "1 mA", k = "2 mA/V²"'),
    ("mosfet", "n-channel", 'id = "1 mA", yfs = "2 S at 1 A", vth = "2 V", lambda = "0.02 1/V"'),
    ("mosfet", "p-channel", 'gm = "2 mS", ciss = "60 pF", cgd = "5 pF"'),
    ("diode", "silicon", 'id = "1 mA", n = 1.8, vf = "0.7 V at 10 mA"'),
    ("diode", "zener", 'rd = "10 Ω", cj = "100 pF"'),
]
SOLVED = [
    ("bjt", "npn", "beta = 200"),
    ("bjt", "npn", 'hfe = 200, is = "20 fA", va = "60 V", cpi = "9 pF", cmu = "3 pF", rb = "50 Ω"'),
    ("jfet", "n-channel", 'idss = "6 mA", vp = "-2 V"'),
    ("jfet", "p-channel", 'idss = "6 mA", yfs = "5 mS at 2 mA", lambda = "0.01 1/V"'),
    ("mosfet", "n-channel", 'k = "2 mA/V²", vth = "1.2 V"'),
    ("mosfet", "n-channel", 'k = "2 mA/V²", vth = "-1.2 V"'),
    ("mosfet", "n-channel", 'k = "2 mA/V²", vth = 0'),
    ("mosfet", "p-channel", 'yfs = "2 S at 1 A", vth = "-3 V", rating = "30 W"'),
    ("diode", "led", ""),
    ("diode", "silicon", 'is = "1 fA", n = 1, cj = "2 pF"'),
]


@pytest.mark.parametrize(("kind", "variety", "values"), STATED)
def test_stated_devices(kind: str, variety: str, values: str) -> None:
    found = device(kind, variety, values)
    assert is_stated(found)
    assert len(found.values) == values.count("=")


@pytest.mark.parametrize(("kind", "variety", "values"), SOLVED)
def test_solved_devices(kind: str, variety: str, values: str) -> None:
    found = device(kind, variety, values)
    assert not is_stated(found)
    assert len(found.values) == values.count("=")


def test_a_value_holds_at_a_current() -> None:
    vbe = device("bjt", "npn", 'beta = 200, vbe = " 0.65 V  at 2 mA"').values["vbe"]
    assert (vbe.value, vbe.unit, vbe.text) == (Fraction(65, 100), "V", "0.65 V  at 2 mA")
    assert vbe.at is not None
    assert (vbe.at.value, vbe.at.unit, vbe.at.text) == (Fraction(1, 500), "A", "2 mA")
    assert device("jfet", "n-channel", 'idss = "6 mA", yfs = "5 mS"').values["yfs"].at is None


@pytest.mark.parametrize("values", ["gain = 1e5", 'gbw = "1 MHz"', 'gain = 1e5, gbw = "1 MHz"'])
@pytest.mark.parametrize("variety", ["ideal", "finite"])
def test_op_amps(variety: str, values: str) -> None:
    assert len(device("opamp", variety, values).values) == values.count("=")


def test_ratings_and_tolerances_of_other_parts() -> None:
    assert device("resistor", "1k", 'rating = "250 mW"').values["rating"].value == Fraction(1, 4)
    assert device("supply", "12 V", 'tolerance = "5 %"').values["tolerance"].value == Fraction(1, 20)


def test_tolerances_of_a_device() -> None:
    found = device("bjt", "npn", 'beta = 200, va = "60 V", tolerance = { beta = "50 %" }')
    assert {key: quantity.value for key, quantity in found.tolerances.items()} == {"beta": Fraction(1, 2)}
    assert found.together
    assert "tolerance" not in found.values
    fet = 'idss = "6 mA", vp = "-2 V", tolerance = { idss = "30 %", vp = 0.2, together = false }'
    assert not device("jfet", "n-channel", fet).together
    assert device("jfet", "n-channel", fet.replace(", together = false", "")).together
    assert not device("bjt", "npn", "beta = 200").tolerances


WRONG = {
    "beta and hfe": ("bjt", "npn", "beta = 200, hfe = 200", ["both beta and hfe", "leave one of them out"]),
    "is and vbe": (
        "bjt", "npn", 'beta = 9, is = "1 fA", vbe = "0.6 V at 1 mA"', ["both is and vbe", "leave one"],
    ),
    "cpi and ft": ("bjt", "npn", 'beta = 9, cpi = "9 pF", ft = "1 MHz"', ["both cpi and ft"]),
    "cmu and cob": ("bjt", "npn", 'beta = 9, cmu = "9 pF", cob = "9 pF"', ["both cmu and cob"]),
    "rpi and beta": ("bjt", "npn", 'gm = "1 mS", rpi = "9k", beta = 9', ["both rpi and beta"]),
    "vp and yfs": ("jfet", "n-channel", 'idss = "6 mA", vp = "-2 V", yfs = "6 mS"', ["both vp and yfs"]),
    "cgs and ciss": ("jfet", "n-channel", 'gm = "6 mS", cgs = "6 pF", ciss = "9 pF"', ["both cgs and ciss"]),
    "cgd and crss": ("mosfet", "n-channel", 'gm = "6 mS", cgd = "6 pF", crss = "9 pF"', ["both cgd and crss"]),
    "k and yfs": (
        "mosfet", "n-channel", 'k = "1 mA/V²", yfs = "2 S at 1 A", vth = "1 V"', ["both k and yfs"],
    ),
    "is and vf": ("diode", "silicon", 'is = "1 fA", vf = "0.7 V at 1 mA"', ["both is and vf"]),
    "bjt of nothing": ("bjt", "npn", "", ["states nothing of what it does", "beta (or hfe); or gm and rpi (or"]),
    "jfet of nothing": ("jfet", "n-channel", "", ["states nothing", "idss and vp (or yfs); or gm"]),
    "mosfet of nothing": (
        "mosfet", "n-channel", 'rating = "1 W"', ["states nothing", "k (or yfs) and vth; or id and k (or yfs); or gm"],
    ),
    "jfet of idss": ("jfet", "n-channel", 'idss = "6 mA"', ["idss without vp", "add vp (or yfs)"]),
    "jfet of id": ("jfet", "n-channel", 'id = "6 mA"', ["id without idss and vp", "add idss and vp (or yfs)"]),
    "mosfet of k": ("mosfet", "n-channel", 'k = "1 mA/V²"', ["k without vth", "add vth, or id"]),
    "mosfet of id": ("mosfet", "n-channel", 'id = "1 mA"', ["id without k", "add k (or yfs)"]),
    "mosfet of vth": ("mosfet", "n-channel", 'vth = "1 V"', ["vth without k", "add k (or yfs)"]),
    "bjt of ro": ("bjt", "npn", 'ro = "1k"', ["ro without gm and rpi", "add gm and rpi (or beta or hfe)"]),
    "two ways of a bjt": ("bjt", "npn", 'ic = "1 mA", beta = 9, gm = "1 mS"', ["gm does not go together with ic"]),
    "two ways of a diode": (
        "diode", "silicon", 'rd = "9 Ω", is = "1 fA"', ["rd does not go together with is", "id, is (or vf) and n"],
    ),
    "va with gm": ("bjt", "npn", 'gm = "1 mS", rpi = "9k", va = "60 V"', ["va does not go together with gm and rpi"]),
    "vbe alone": ("bjt", "npn", 'beta = 9, vbe = "0.65 V"', ["at which current", '"0.65 V at 2 mA"']),
    "vbe as a number": ("bjt", "npn", "beta = 9, vbe = 0.65", ["at which current", '"0.65 V at 2 mA"']),
    "vbe at volts": ("bjt", "npn", 'beta = 9, vbe = "0.65 V at 2 V"', ['"2 V" is in volts', '"0.65 V at 2 mA"']),
    "vbe of nothing": ("bjt", "npn", 'beta = 9, vbe = "at 2 mA"', ['"0.65 V at 2 mA"']),
    "vbe in amperes": ("bjt", "npn", 'beta = 9, vbe = "2 mA at 0.65 V"', ["in amperes", '"0.65 V at 2 mA"']),
    "vbe with a sign": ("bjt", "npn", 'beta = 9, vbe = "0.65 V @ 2 mA"', ["@", '"0.65 V at 2 mA"']),
    "vbe as a list": ("bjt", "npn", 'beta = 9, vbe = ["0.65 V", "2 mA"]', ["a list", '"0.65 V at 2 mA"']),
    "vbe at nothing": ("bjt", "npn", 'beta = 9, vbe = "0.65 V at 0 mA"', ["not greater than zero", "at 2 mA"]),
    "vbe of a negative sign": ("bjt", "pnp", 'beta = 9, vbe = "-0.65 V at 2 mA"', ["not greater", "magnitude"]),
    "vbe too high": ("bjt", "npn", 'beta = 9, vbe = "6.5 V at 2 mA"', ["vbe is above 2 V", "6.5 V at 2 mA"]),
    "vf alone": ("diode", "silicon", 'vf = "0.7 V"', ["at which current", '"0.7 V at 10 mA"']),
    "vf too high": ("diode", "silicon", 'vf = "700 V at 10 mA"', ["vf is above 6 V"]),
    "yfs of a mosfet": ("mosfet", "n-channel", 'yfs = "2 S", vth = "1 V"', ["at which current", '"2 S at 1 A"']),
    "a value at a current": ("bjt", "npn", 'beta = "200 at 2 mA"', ["takes none", 'write "200"']),
    "beta in percent": ("bjt", "npn", 'beta = "250 %"', ["a percentage", "pure number"]),
    "hfe in percent": ("bjt", "npn", 'hfe = "250%"', ["a percentage", "pure number"]),
    "n in percent": ("diode", "silicon", 'n = "150 %"', ["a percentage", "pure number"]),
    "gain in percent": ("opamp", "finite", 'gain = "150 %"', ["a percentage", "pure number"]),
    "gain in decibels": ("opamp", "finite", 'gain = "100 dB"', ["in decibels", "pure number"]),
    "finite of nothing": ("opamp", "finite", "", ["neither gain nor gbw", "gain = 1e5"]),
    "gbw in ohms": ("opamp", "finite", 'gbw = "1 MΩ"', ["in ohms", "hertz"]),
    "op amp of another type": ("opamp", "real", "gain = 9", ['"ideal" or "finite"']),
    "zener": ("diode", "zener", "", ["breakdown of a zener is not built yet", "state rd"]),
    "zener with its law": ("diode", "zener", 'vf = "0.7 V at 10 mA"', ["breakdown of a zener", "state rd"]),
    "vp of an n-channel type": (
        "jfet", "n-channel", 'idss = "6 mA", vp = "2 V"', ["vp of n-channel types is negative", 'vp = "-2 V"'],
    ),
    "vp of a p-channel type": ("jfet", "p-channel", 'idss = "6 mA", vp = "-2 V"', ["positive", 'vp = "2 V"']),
    "vp of zero": ("jfet", "n-channel", 'idss = "6 mA", vp = 0', ["negative", "from gate to source"]),
    "vth of a p-channel type": (
        "mosfet", "p-channel", 'k = "1 mA/V²", vth = "+2 V"', ["vth of p-channel types is negative", 'vth = "-2 V"'],
    ),
    "vth of zero": ("mosfet", "p-channel", 'k = "1 mA/V²", vth = 0', ["negative", "from gate to source"]),
    "id above idss": ("jfet", "n-channel", 'idss = "6 mA", vp = "-2 V", id = "7 mA"', ["id is above idss"]),
    "yfs above idss": (
        "jfet", "n-channel", 'idss = "6 mA", yfs = "5 mS at 7 mA"', ["current above idss", '"7 mA"', '"6 mA"'],
    ),
    "ciss below crss": (
        "mosfet", "n-channel", 'gm = "1 mS", ciss = "5 pF", crss = "60 pF"', ["ciss is not above crss", "5 pF"],
    ),
    "ciss below cgd": ("jfet", "n-channel", 'gm = "1 mS", ciss = "5 pF", cgd = "5 pF"', ["ciss is not above cgd"]),
    "rating in volts": ("resistor", "1k", 'rating = "50 V"', ["in volts", "watts"]),
    "rating as a fraction": ("resistor", "1k", 'rating = "1/4 W"', ["is a fraction", "0.25 W"]),
    "rating of a capacitor": ("capacitor", "1n", 'rating = "50 V"', ["rating is the power", "a resistor, a diode"]),
    "rating of a supply": ("supply", "9 V", 'rating = "5 W"', ["rating is the power"]),
    "tolerance as a value": ("bjt", "npn", 'beta = 9, tolerance = "50 %"', ["not a table", "beta, hfe"]),
    "tolerance as a table": ("resistor", "1k", "tolerance = { beta = 1 }", ["a table is not a value", '"1 %"']),
    "tolerance of what is not stated": (
        "bjt", "npn", 'beta = 9, tolerance = { va = "9 %" }', ["tolerance of va", "states no va", "is beta"],
    ),
    "tolerance of no law": ("bjt", "npn", 'beta = 9, tolerance = { bta = "9 %" }', ["bta", "nearest key is beta"]),
    "tolerance of a slope": ("mosfet", "n-channel", 'gm = "1 mS", tolerance = { gm = "9 %" }', ["gm", "keys are k"]),
    "tolerance of all": ("bjt", "npn", 'beta = 9, tolerance = { beta = "100 %" }', ["100 %", '"1 %"']),
    "no tolerance": ("jfet", "n-channel", 'idss = 1, vp = -2, tolerance = { }', ["names no value", 'idss = "10 %"']),
    "together in words": (
        "jfet", "n-channel", 'idss = 1, vp = -2, tolerance = { vp = 0.1, together = "no" }', ["true nor false"],
    ),
    "together in a bjt": ("bjt", "npn", "beta = 9, tolerance = { beta = 0.1, together = false }", ["together"]),
}  # fmt: skip


@pytest.mark.parametrize("case", WRONG)
def test_refused_in_words(case: str) -> None:
    kind, variety, values, fragments = WRONG[case]
    with pytest.raises(DescriptionError) as caught:
        device(kind, variety, values)
    error = caught.value
    assert error.line == 6, str(error)
    for fragment in fragments:
        assert fragment in f"{error.what}; {error.remedy}", str(error)
    assert "X1" in error.what
    assert str(error).isprintable()
    assert len(str(error)) < 300


def test_a_fault_in_a_table_of_its_own_is_on_its_line() -> None:
    lines = ["[parts.X1]", 'diode = "led"', 'anode = "in"', 'cathode = "out"', "[parts.X1.tolerance]", 'n = "5 %"']
    with pytest.raises(DescriptionError, match="states no n") as caught:
        read_text(DIVIDER + "\n".join(lines) + "\n", "c.toml")
    assert caught.value.line == 8 + len(lines)
