"""What the rules of an estimate hand to its engine.

Enters: nothing. Leaves: records. Must not know: circuits.

The numbers of an estimate are kept by what they are the numbers of: ``Volt(node)``, or the symbol of a current.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal, TypeAlias

from derive.bias.records import EstimateStep
from derive.expression.tree import Expr, Sym, Volt
from derive.words import Formula, Inline, Line, Reading, Words

Quantity: TypeAlias = Volt | Sym
Mode = Literal["off", "saturated", "ohmic", "refuted", "unsure"]
"""``refuted``: nothing is taken for granted of it; ``unsure``: its junction conducts, its current is not told."""
Turn: TypeAlias = tuple[str, Mode | None, bool]
UNTOLD = ("refuted", "unsure")
DIGITS = 3


@dataclass(frozen=True)
class Assumed:
    """How the devices are taken: by default every one conducts, pinched off or active, without base current.

    ``counted``: the bipolars whose base current is not neglected.
    """

    modes: tuple[tuple[str, Mode], ...] = ()
    counted: frozenset[str] = frozenset()

    @cached_property
    def _table(self) -> dict[str, Mode]:
        return dict(self.modes)

    def mode(self, part: str) -> Mode | None:
        return self._table.get(part)

    def altered(self, part: str, mode: Mode | None) -> Assumed:
        """One device taken otherwise; None: as at first."""
        kept = [pair for pair in self.modes if pair[0] != part]
        return replace(self, modes=tuple(sorted([*kept, (part, mode)] if mode is not None else kept)))

    def after(self, verdict: Verdict) -> Assumed:
        counted = self.counted | {verdict.part} if verdict.counts else self.counted
        return replace(self.altered(verdict.part, verdict.mode), counted=counted)


@dataclass(frozen=True)
class Finding:
    """What one rule found. ``numbers``: each quantity with its number, in the order in which the step prints them.

    ``hidden``: auxiliary quantities that the step prints (a gate voltage) and that are no number of the estimate.
    """

    rule: Words
    lines: tuple[Line, ...]
    numbers: tuple[tuple[Quantity, float], ...]
    note: str = ""
    hidden: tuple[tuple[Sym, float], ...] = ()

    def step(self, noted: set[str]) -> EstimateStep:
        """The step as printed; a note that was printed before is not repeated."""
        note: Words = () if not self.note or self.note in noted else (self.note,)
        noted.add(self.note)
        numbers = (*self.hidden, *self.numbers)
        plain = len(numbers) == len(self.lines) == 1 and self.lines[0].left == numbers[0][0]
        return EstimateStep(self.rule, self.lines, _bare(numbers[0]) if plain else _named(numbers), note)


@dataclass(frozen=True)
class Verdict:
    """A device is not what it was taken as: what to take it as instead, and the step that says so, if one does.

    ``counts``: its base current is not to be neglected from now on.
    """

    part: str
    mode: Mode | None
    step: EstimateStep | None = None
    counts: bool = False

    @property
    def turn(self) -> Turn:
        """What it turns into what, without what it says."""
        return self.part, self.mode, self.counts


@dataclass(frozen=True)
class Equation:
    """One equation that holds among the quantities of an estimate. ``of``: words for it, as "the junction of Q1"."""

    left: Expr
    right: Expr
    of: Words = field(default=())


class Stop(Exception):
    """The estimate cannot go on with some devices; ``why`` says what for, ``mode`` what they are then."""

    def __init__(self, why: str, parts: Iterable[str], mode: Mode = "refuted") -> None:
        super().__init__(why)
        self.why = why
        self.parts = tuple(parts)
        self.mode = mode


def unit_of(quantity: Quantity) -> str:
    return "V" if isinstance(quantity, Volt) or quantity.name.startswith("Vgs_") else "A"


def _bare(number: tuple[Quantity, float]) -> Words:
    return (Reading(number[1], unit_of(number[0]), DIGITS),)


def _named(numbers: tuple[tuple[Quantity, float], ...]) -> Words:
    """Each number behind its quantity."""
    words: list[Inline] = []
    for quantity, value in numbers:
        words += [", "] if words else []
        words += [Formula(quantity), " ≈ ", Reading(value, unit_of(quantity), DIGITS)]
    return tuple(words)
