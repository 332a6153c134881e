"""The kinds of parts: pins in order, the keys of a description, their units, and which belong together.

Enters: nothing. Leaves: the table KINDS, from which the description is validated and its nets are built. To
add a kind, add an entry here and its symbols to derive.circuit.symbols.
Must not know: TOML, equations.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Value:
    """A stated value: its key in a part's line, its unit in SI, and its allowed sign.

    ``name`` is the key under which Part.values holds it; ``sign`` is ``positive``, ``any`` or ``fraction``
    (from zero to less than one).
    """

    key: str
    unit: str
    sign: str = "positive"
    name: str = ""

    @property
    def record_name(self) -> str:
        return self.name or self.key


@dataclass(frozen=True)
class Ends:
    """How pins are written: a key with one node, or a key with a pair of nodes."""

    key: str
    pins: tuple[str, ...]


@dataclass(frozen=True)
class Way:
    """One way to state a device: keys that it needs, keys that it may have besides."""

    needs: tuple[str, ...]
    may_have: tuple[str, ...] = ()

    @property
    def keys(self) -> frozenset[str]:
        return frozenset(self.needs) | frozenset(self.may_have)


@dataclass(frozen=True)
class Kind:
    """A kind of part.

    ``head`` is the value that the kind's own key states (``resistor = "4.7 kΩ"``); where it is None, the
    key states one of ``varieties``. ``alternatives``: other ways to write all pins (a supply ``at`` a
    node). ``shared`` values go with any of the ``ways``; with several ways, a part uses exactly one.
    ``later`` has the keys that are known and not built, with the words to refuse them.
    """

    name: str
    ends: tuple[Ends, ...]
    head: Value | None = None
    varieties: tuple[str, ...] = ()
    alternatives: tuple[Ends, ...] = ()
    values: tuple[Value, ...] = ()
    shared: tuple[str, ...] = ()
    ways: tuple[Way, ...] = ()
    later: tuple[tuple[str, str], ...] = ()

    @property
    def pins(self) -> tuple[str, ...]:
        return tuple(pin for ends in self.ends for pin in ends.pins)

    @property
    def is_two_terminal(self) -> bool:
        return self.pins == ("first", "second")


def _pins(*names: str) -> tuple[Ends, ...]:
    return tuple(Ends(name, (name,)) for name in names)


def _passive(name: str, quantity: str, unit: str) -> Kind:
    tolerance = Value("tolerance", "1", "fraction")
    return Kind(name, _BETWEEN, Value(name, unit, name=quantity), values=(tolerance,), shared=("tolerance",))


_BETWEEN = (Ends("between", ("first", "second")),)
_UNSOLVED = "the operating point is not solved yet"
_INFINITE = 'an op amp of finite gain and bandwidth is not built yet: only opamp = "ideal"'

_KINDS = (
    _passive("resistor", "resistance", "Ω"),
    _passive("capacitor", "capacitance", "F"),
    _passive("inductor", "inductance", "H"),
    Kind(
        "diode",
        _pins("anode", "cathode"),
        varieties=("silicon", "germanium", "schottky", "zener", "led"),
        values=(Value("rd", "Ω"), Value("cj", "F")),
        shared=("cj",),
        ways=(Way(("rd",)),),
        later=tuple((key, f"{_UNSOLVED}: state rd") for key in ("is", "n", "id")),
    ),
    Kind(
        "bjt",
        _pins("base", "collector", "emitter"),
        varieties=("npn", "pnp"),
        values=(
            *(Value("ic", "A"), Value("beta", "1"), Value("va", "V")),
            *(Value("gm", "S"), Value("rpi", "Ω"), Value("ro", "Ω")),
            *(Value("rb", "Ω"), Value("cpi", "F"), Value("cmu", "F")),
        ),
        shared=("rb", "cpi", "cmu"),
        ways=(Way(("ic", "beta"), ("va",)), Way(("gm", "rpi"), ("ro",)), Way(("gm", "beta"), ("ro",))),
        later=(("is", f"{_UNSOLVED}: state ic, or gm and rpi"),),
    ),
    Kind(
        "jfet",
        _pins("gate", "drain", "source"),
        varieties=("n-channel", "p-channel"),
        values=(
            *(Value("id", "A"), Value("idss", "A"), Value("vp", "V", "any"), Value("lambda", "1/V")),
            *(Value("gm", "S"), Value("ro", "Ω"), Value("cgs", "F"), Value("cgd", "F")),
        ),
        shared=("cgs", "cgd"),
        ways=(Way(("id", "idss", "vp"), ("lambda",)), Way(("gm",), ("ro",))),
    ),
    Kind(
        "opamp",
        _pins("plus", "minus", "out"),
        varieties=("ideal",),
        later=(("gain", _INFINITE), ("gbw", _INFINITE)),
    ),
    Kind(
        "transconductance",
        (Ends("from", ("first", "second")), Ends("sense", ("sense_first", "sense_second"))),
        Value("transconductance", "S"),
    ),
    Kind("supply", _BETWEEN, Value("supply", "V", "any", "voltage"), alternatives=(Ends("at", ("first",)),)),
    Kind(
        "signal",
        _BETWEEN,
        varieties=("voltage", "current"),
        values=(Value("offset", "V", "any"),),
        shared=("offset",),
    ),
)

BOOTSTRAPPED = ("resistor", "capacitor", "inductor")
"""The kinds whose far end a bootstrap moves."""
REMOVABLE = (*BOOTSTRAPPED, "diode")
"""The kinds that a statement may short or open."""
KINDS: Mapping[str, Kind] = MappingProxyType({kind.name: kind for kind in _KINDS})


def unit_of(kind: Kind, value: Value, variety: str) -> str:
    """The unit of a stated value; the offset of a signal current is in amperes."""
    return "A" if kind.name == "signal" and value.key == "offset" and variety == "current" else value.unit
