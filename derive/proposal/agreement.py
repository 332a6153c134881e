"""Which statements may be proposed: those that contradict nothing that is stated on the sheet.

Enters: what is stated so far, the network. Leaves: the ends that symbols may go to, and whether a move agrees.
Must not know: answers, errors.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from derive.answers.records import Inquiry
from derive.approximate.contradictions import refuse_contradictions
from derive.approximate.misstated import Misstated
from derive.approximate.records import Generator, Resolved
from derive.circuit.records import Bootstrap, Question, Statement
from derive.network.records import Element, Network
from derive.proposal.moves import Move

End = Literal["0", "inf"]
CONDUCTING = ("conductance", "capacitance", "delay", "unity")
"""Laws by which a larger value is a larger admittance."""
INNER: dict[str, tuple[End, ...]] = {"ro": ("inf",), "rpi": ("inf",), "rb": ("0",), "a0": ("inf",), "tau": ("0",)}
"""Where the inner quantities of a device are taken to: what is meant by an ideal one."""


def ends_of(inquiry: Inquiry, question: Question) -> dict[str, tuple[End, ...]]:
    """The limits that make sense: parts both ways, a device towards an ideal one.

    The part whose bootstrap is asked for stays: the question is about it.
    """
    asked = question.ask.part if isinstance(question.ask, Bootstrap) else None
    found: dict[str, tuple[End, ...]] = {}
    for element in inquiry.network.elements:
        if element.symbol is not None and element.owner != asked:
            found[element.name] = _ends(element)
    return found


def _ends(element: Element) -> tuple[End, ...]:
    head = element.name.split("_", 1)[0]
    if element.controlled:
        return ("inf",) if element.law != "delay" else ("0",)
    if element.name == element.owner or element.law == "inductance":
        return ("0", "inf")
    if element.law == "capacitance":
        return ("0",)
    return INNER.get(head, ("0", "inf"))


@dataclass(frozen=True)
class Agreement:
    """``stated``: all statements of the sheet, whichever question they are for."""

    stated: Sequence[Resolved]
    network: Network

    @cached_property
    def _generators(self) -> tuple[Generator, ...]:
        return tuple(g for s in self.stated for g in s.generators)

    @cached_property
    def _taken(self) -> dict[str, set[End]]:
        """The ends to which limits take symbols."""
        found: dict[str, set[End]] = {}
        for limit in (s.limit for s in self.stated if s.limit is not None):
            for names, admittance in ((limit.deleted, "0"), (limit.contracted, "inf")):
                for name in names:
                    conducts = self.network.element(name).law in CONDUCTING
                    end: End = "inf" if (admittance == "inf") == conducts else "0"
                    found.setdefault(name, set()).add(end)
        return found

    @cached_property
    def _leaning(self) -> dict[str, set[End]]:
        """Whether stated ratios say that a symbol is large or small beside something."""
        found: dict[str, set[End]] = {}
        for generator in self._generators:
            for name, exponent in zip(("s", *self._names), generator.exponents, strict=True):
                if exponent:
                    found.setdefault(name, set()).add("inf" if exponent > 0 else "0")
        return found

    @property
    def _names(self) -> tuple[str, ...]:
        return tuple(e.name for e in self.network.elements if e.symbol is not None)

    @cached_property
    def _alike(self) -> set[str]:
        return {
            name
            for s in self.stated
            for equality in s.equalities
            for name, exponent in zip(self._names, equality.exponents[1:], strict=True)
            if exponent
        }

    @cached_property
    def _known(self) -> dict[Move, bool]:
        return {}

    def allows(self, move: Move) -> bool:
        """Whether a move agrees with all that is stated."""
        if move not in self._known:
            self._known[move] = self._agrees(move)
        return self._known[move]

    def _agrees(self, move: Move) -> bool:
        if move.is_limit:
            name, end = str(move.key[0]), str(move.key[1])
            others = self._taken.get(name, set()) | self._leaning.get(name, set())
            return not others - {end} and name not in self._alike
        exponents = tuple(int(e) for e in move.key)
        for name, exponent in zip(("s", *self._names), exponents, strict=True):
            if exponent and self._taken.get(name, set()) - {"inf" if exponent > 0 else "0"}:
                return False
        if all(g.value > 1 for g in self._generators) and not self._alike:
            return True  # numbers above one never multiply to one
        fresh = Resolved(Statement(0, move.text, ()), (Generator(0, exponents, Fraction(0)),))
        try:
            refuse_contradictions((*self.stated, fresh))
        except Misstated:
            return False
        return True

