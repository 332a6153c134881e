"""The kinds of parts: pins in order, the keys of a description, their units, and which belong together.

Enters: nothing. Leaves: the table KINDS, from which the description is validated and its nets are built. To
add a kind, add an entry here and its symbols to derive.circuit.symbols.
Must not know: TOML, equations.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from derive.circuit.kinds import Condition, Ends, Kind, Value, groups, way
from derive.circuit.records import Part


def _pins(*names: str) -> tuple[Ends, ...]:
    return tuple(Ends(name, (name,)) for name in names)


_BETWEEN = (Ends("between", ("first", "second")),)
_TOLERANCE = Value("tolerance", "1", "fraction")
_RATING = Value("rating", "W")
_NO_RATING = (("rating", "a rating is the power that a part may take up: of a resistor, a diode or a transistor"),)
_CHANNELS = ("n-channel", "p-channel")
_FET_CAPACITANCES = (
    *(Value("cgs", "F"), Value("ciss", "F", at=Condition("V", "6 pF at 10 V", needed=False))),
    *(Value("cgd", "F"), Value("crss", "F", at=Condition("V", "2 pF at 10 V", needed=False))),
)
_FET_SHARED = groups("cgs or ciss, cgd or crss, rating, corner")
_CORNER = Value("corner", "Hz")
"""Where the flicker noise of a device equals its white noise: of the channel, or of the base current."""
_JUNCTION = (Value("vj", "V"), Value("m", "1", "count"))
"""Built-in voltage and grading of the junction whose capacitance is stated."""


def _passive(name: str, quantity: str, unit: str, *more: Value) -> Kind:
    """A two-terminal part; what takes up no direct power has no rating in watts."""
    values = (_TOLERANCE, *more)
    shared = tuple((value.key,) for value in values)
    later = () if _RATING in more else _NO_RATING
    return Kind(name, _BETWEEN, Value(name, unit, name=quantity), values=values, shared=shared, later=later)


_KINDS = (
    _passive("resistor", "resistance", "Ω", _RATING),
    _passive("capacitor", "capacitance", "F"),
    _passive("inductor", "inductance", "H"),
    Kind(
        "diode",
        _pins("anode", "cathode"),
        varieties=("silicon", "germanium", "schottky", "zener", "led"),
        values=(
            *(Value("id", "A"), Value("is", "A"), Value("vf", "V", at=Condition("A", "0.7 V at 10 mA"))),
            *(Value("n", "1", "count"), Value("rd", "Ω"), Value("cj", "F"), *_JUNCTION, _RATING),
        ),
        shared=groups("cj, vj, m, rating"),
        ways=(way("", "id, is or vf, n"), way("rd")),
        law=("is", "vf", "n"),
    ),
    Kind(
        "bjt",
        _pins("base", "collector", "emitter"),
        varieties=("npn", "pnp"),
        values=(
            *(Value("ic", "A"), Value("beta", "1", "count"), Value("va", "V")),
            Value("hfe", "1", "count", at=Condition("A", "200 at 2 mA", needed=False)),
            *(Value("is", "A"), Value("vbe", "V", at=Condition("A", "0.65 V at 2 mA"))),
            *(Value("gm", "S"), Value("rpi", "Ω"), Value("ro", "Ω"), Value("rb", "Ω")),
            *(Value("cpi", "F"), Value("ft", "Hz", at=Condition("A", "150 MHz at 5 mA", needed=False))),
            *(Value("cmu", "F"), Value("cob", "F", at=Condition("V", "4 pF at 5 V", needed=False))),
            *(*_JUNCTION, _CORNER, _RATING),
        ),
        shared=groups("rb, cpi or ft, cmu or cob, vj, m, corner, rating"),
        ways=(way("beta or hfe", "ic, va, is or vbe"), way("gm, rpi or beta or hfe", "ro")),
        law=("beta", "hfe", "va", "is", "vbe"),
    ),
    Kind(
        "jfet",
        _pins("gate", "drain", "source"),
        varieties=_CHANNELS,
        values=(
            *(Value("id", "A"), Value("idss", "A"), Value("vp", "V", "any")),
            *(Value("yfs", "S", at=Condition("A", "5 mS at 2 mA", needed=False)), Value("lambda", "1/V")),
            *(Value("gm", "S"), Value("ro", "Ω"), *_FET_CAPACITANCES, *_JUNCTION, _CORNER, Value("igss", "A"), _RATING),
        ),
        shared=(*_FET_SHARED, *groups("vj, m, igss")),
        ways=(way("idss, vp or yfs", "id, lambda"), way("gm", "ro")),
        law=("idss", "vp", "yfs", "lambda"),
        together=("idss", "vp", "yfs"),
    ),
    Kind(
        "mosfet",
        _pins("gate", "drain", "source"),
        varieties=_CHANNELS,
        values=(
            *(Value("id", "A"), Value("k", "A/V²"), Value("yfs", "S", at=Condition("A", "2 S at 1 A"))),
            *(Value("vth", "V", "any"), Value("lambda", "1/V"), Value("gm", "S"), Value("ro", "Ω")),
            *(*_FET_CAPACITANCES, _CORNER, _RATING),
        ),
        shared=_FET_SHARED,
        ways=(way("k or yfs, vth", "id, lambda"), way("id, k or yfs", "lambda"), way("gm", "ro")),
        law=("k", "yfs", "vth", "lambda"),
    ),
    Kind(
        "opamp",
        _pins("plus", "minus", "out"),
        varieties=("ideal", "finite"),
        values=(
            *(Value("gain", "1", "count"), Value("gbw", "Hz"), Value("en", "V/√Hz"), Value("in", "A/√Hz")),
            *(Value("en_corner", "Hz"), Value("in_corner", "Hz")),
        ),
        shared=groups("gain, gbw, en, in, en_corner, in_corner"),
        later=_NO_RATING,
    ),
    Kind(
        "transconductance",
        (Ends("from", ("first", "second")), Ends("sense", ("sense_first", "sense_second"))),
        Value("transconductance", "S"),
        later=_NO_RATING,
    ),
    Kind(
        "supply",
        _BETWEEN,
        Value("supply", "V", "any", "voltage"),
        alternatives=(Ends("at", ("first",)),),
        values=(_TOLERANCE,),
        shared=groups("tolerance"),
        later=_NO_RATING,
    ),
    Kind(
        "signal",
        _BETWEEN,
        varieties=("voltage", "current"),
        values=(Value("offset", "V", "any"),),
        shared=groups("offset"),
        later=_NO_RATING,
    ),
)

DIODE_WORDS = {
    "silicon": "silicon diode",
    "germanium": "germanium diode",
    "schottky": "Schottky diode",
    "zener": "zener diode",
    "led": "LED",
}
"""A diode by its variety, as a sentence names it."""
BOOTSTRAPPED = ("resistor", "capacitor", "inductor")
"""The kinds whose far end a bootstrap moves."""
REMOVABLE = (*BOOTSTRAPPED, "diode")
"""The kinds that a statement may short or open."""
KINDS: Mapping[str, Kind] = MappingProxyType({kind.name: kind for kind in _KINDS})


def unit_of(kind: Kind, value: Value, variety: str) -> str:
    """The unit of a stated value; the offset of a signal current is in amperes."""
    return "A" if kind.name == "signal" and value.key == "offset" and variety == "current" else value.unit


def is_stated(part: Part) -> bool:
    """Whether a device states its current, or its slopes outright, so that nothing of it is solved."""
    return any(key in part.values for key in ("ic", "id", "gm", "rd"))


def is_finite(part: Part) -> bool:
    """Whether an op amp has a gain or a bandwidth of its own; without both it is ideal."""
    return part.kind == "opamp" and ("gain" in part.values or "gbw" in part.values)
