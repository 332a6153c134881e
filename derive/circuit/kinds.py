"""What an entry of the table of kinds holds: pins, keys, units, which keys belong together.

Enters: nothing. Leaves: the records of derive.circuit.parts. Must not know: which kinds there are, TOML, equations.
"""

from __future__ import annotations

from dataclasses import dataclass

Group = tuple[str, ...]
"""Keys that say the same thing in different ways, of which a part states at most one."""


@dataclass(frozen=True)
class Condition:
    """Under what a value holds: ``0.65 V at 2 mA``. ``needed``: whether the value says nothing without it."""

    unit: str
    example: str
    needed: bool = True


@dataclass(frozen=True)
class Value:
    """A stated value: its key in a part's line, its unit in SI, and its allowed sign.

    ``name`` is the key under which Part.values holds it; ``sign`` is ``positive``, ``any``, ``fraction`` (from zero
    to less than one) or ``count`` (a positive number that is never a percentage).
    """

    key: str
    unit: str
    sign: str = "positive"
    name: str = ""
    at: Condition | None = None

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
    """One way to state a device: groups of which it needs one key each, groups that it may have besides."""

    needs: tuple[Group, ...]
    may_have: tuple[Group, ...] = ()

    @property
    def groups(self) -> tuple[Group, ...]:
        return (*self.needs, *self.may_have)

    @property
    def keys(self) -> frozenset[str]:
        return frozenset(key for group in self.groups for key in group)


@dataclass(frozen=True)
class Kind:
    """A kind of part.

    ``head`` is the value that the kind's own key states (``resistor = "4.7 kΩ"``); where it is None, the
    key states one of ``varieties``. ``alternatives``: other ways to write all pins (a supply ``at`` a
    node). ``shared`` values go with any of the ``ways``; with several ways, a part uses exactly one.
    ``law``: the keys of a device whose values may have tolerances; ``together``: those among them that move as one
    unless the author says otherwise. ``later`` has keys that are refused, with the words that refuse them.
    """

    name: str
    ends: tuple[Ends, ...]
    head: Value | None = None
    varieties: tuple[str, ...] = ()
    alternatives: tuple[Ends, ...] = ()
    values: tuple[Value, ...] = ()
    shared: tuple[Group, ...] = ()
    ways: tuple[Way, ...] = ()
    law: tuple[str, ...] = ()
    together: tuple[str, ...] = ()
    later: tuple[tuple[str, str], ...] = ()

    @property
    def pins(self) -> tuple[str, ...]:
        return tuple(pin for ends in self.ends for pin in ends.pins)

    @property
    def shared_keys(self) -> frozenset[str]:
        return frozenset(key for group in self.shared for key in group)

    @property
    def is_two_terminal(self) -> bool:
        return self.pins == ("first", "second")


def groups(text: str) -> tuple[Group, ...]:
    """Groups of keys, written in short.

    >>> groups("rb, cpi or ft")
    (('rb',), ('cpi', 'ft'))
    """
    return tuple(tuple(group.split(" or ")) for group in text.split(", ")) if text else ()


def way(needs: str, may_have: str = "") -> Way:
    """One way to state a device, its groups written in short."""
    return Way(groups(needs), groups(may_have))
