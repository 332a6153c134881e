"""The symbols that a part gives to the algebra, with their units.

Enters: a checked part. Leaves: symbol names and units. A device's symbol is its quantity and its owner,
``gm_Q1``; a two-terminal part and a transconductance are their own symbol.
Must not know: equations, values of symbols.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from derive.circuit.parts import is_finite
from derive.circuit.records import Part
from derive.description.hints import a

_OWN: Mapping[str, str] = {"resistor": "Ω", "capacitor": "F", "inductor": "H", "transconductance": "S"}
Row = tuple[str, str, tuple[str, ...]]
"""A quantity, its unit, and the keys of which one must be stated (none: the symbol is always there)."""
_FET: tuple[Row, ...] = (
    ("gm", "S", ()),
    ("ro", "Ω", ("lambda", "ro")),
    ("Cgs", "F", ("cgs", "ciss")),
    ("Cgd", "F", ("cgd", "crss")),
)
QUANTITIES: Mapping[str, tuple[Row, ...]] = MappingProxyType(
    {
        "bjt": (
            ("gm", "S", ()),
            ("rpi", "Ω", ()),
            ("beta", "1", ()),
            ("ro", "Ω", ("va", "ro")),
            ("rb", "Ω", ("rb",)),
            ("Cpi", "F", ("cpi", "ft")),
            ("Cmu", "F", ("cmu", "cob")),
        ),
        "jfet": _FET,
        "mosfet": _FET,
        "diode": (("rd", "Ω", ()), ("Cj", "F", ("cj",))),
        "opamp": (("a0", "1", ("gain",)), ("tau", "s", ("gbw",))),
    }
)

# Where the limit of a symbol leads that does to its branch what opening and shorting do to a part.
_LIMITS: Mapping[tuple[str, str], str] = {
    **{("open", unit): limit for unit, limit in (("Ω", "inf"), ("S", "0"), ("F", "0"))},
    **{("short", unit): limit for unit, limit in (("Ω", "0"), ("S", "inf"), ("F", "inf"))},
}


def symbols_of(part: Part) -> dict[str, str]:
    """The symbols of one part and their units, only those whose values are given.

    Supplies, signals and ideal op amps have none.
    """
    if part.kind in _OWN:
        return {part.name: _OWN[part.kind]}
    return {
        f"{quantity}_{part.name}": unit
        for quantity, unit, keys in QUANTITIES.get(part.kind, ())
        if not keys or any(key in part.values for key in keys)
    }


def symbols_of_all(parts: Iterable[Part]) -> dict[str, str]:
    """The symbols of all parts and their units, in the order of the parts."""
    return {name: unit for part in parts for name, unit in symbols_of(part).items()}


def controlled_sources(parts: Iterable[Part]) -> dict[str, str]:
    """The symbols of all controlled sources, each with the name of its part.

    The source of an op amp of finite gain is called as the op amp itself: its output follows what it senses.
    """
    found = {}
    for part in parts:
        if part.kind == "transconductance" or is_finite(part):
            found[part.name] = part.name
        elif part.kind in ("bjt", "jfet", "mosfet"):
            found[f"gm_{part.name}"] = part.name
    return found


def why_missing(symbol: str, parts: Mapping[str, Part]) -> tuple[str, str] | None:
    """Fault and remedy for a symbol that a part could have and has not; None where none could."""
    if symbol in parts:
        return f"{symbol} is {a(parts[symbol].kind)} and has no symbol of its own", _own_symbols(parts[symbol])
    quantity, _, owner = symbol.partition("_")
    if owner not in parts:
        return None
    for name, _unit, keys in QUANTITIES.get(parts[owner].kind, ()):
        if name == quantity and keys:
            return (
                f"{symbol} is not in this circuit: {owner} states no {' or '.join(keys)}",
                f"give {owner} a value for {' or '.join(keys)}, or leave the statement out",
            )
    return None


def explain_symbol(name: str, parts: Mapping[str, Part], to: str = "") -> tuple[str, str] | None:
    """Fault and remedy for a symbol where a part is expected; None where it is no symbol of a part.

    ``to``: what is to be done with the part; ``short`` and ``open`` have a limit of the same effect.
    """
    owner = name.partition("_")[2]
    if owner not in parts:
        return None
    unit = symbols_of(parts[owner]).get(name)
    if unit is None:
        return why_missing(name, parts)
    limit = _LIMITS.get((to, unit))
    if limit is not None:
        remedy = f'write that = "{name} -> {limit}"'
    elif to:
        remedy = f'state what is small or large under that, as in that = "{name} -> inf"'
    else:
        remedy = f"name a part, such as {owner}"
    return f"{name} is a symbol of {owner}, not a part", remedy


def _own_symbols(part: Part) -> str:
    names = list(symbols_of(part))
    return f"its symbols are {', '.join(names)}" if names else "name a resistor, a capacitor, or a symbol such as gm_Q1"
