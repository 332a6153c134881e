"""One piece of a second road (a return ratio, an impedance, an ideal gain): exact, with a form that can be read.

Enters: an inquiry, what was prepared for its circuit, the statements. Leaves: the piece with its checked steps.
Must not know: which theory it is a piece of, LaTeX.

The form is the exact one where that can be read in one piece; else the short form within the error that short forms
have (measured over the band); else the number alone, with how many terms the exact answer has.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import Any

from derive.answers.exact import answer, spectrum
from derive.answers.records import Exact, Inquiry
from derive.approximate.records import Resolved
from derive.derivation.analyse import Prepared
from derive.derivation.checks import approximate, equal, remark
from derive.derivation.records import Step
from derive.derivation.short import NAMED
from derive.derivation.wording import error_words
from derive.expression.tree import Call, Expr, Name, evaluate, replace_names, walk
from derive.forms.present import ONE_PIECE, READABLE, present_whole, write
from derive.forms.trial import points
from derive.numbers import of_terms
from derive.structure.records import Piece, Short
from derive.structure.shortest import DEFAULT, shortest
from derive.words import Formula, Line, Reading, Words

LONGEST = 400
"""Terms above which no exact form in one piece is looked for."""
BRIEF = 24
"""The same where a piece may take no time."""


@dataclass(frozen=True)
class Derived:
    """``tree``: the form that is printed, exact where ``error`` (the worst in the band) is 0; None for none.

    ``steps``: its lines with their numbers; the first names it.
    """

    name: Name
    exact: Exact
    spot: complex
    tree: Expr | None
    error: float
    steps: tuple[Step, ...]

    def at(self, point: Mapping[str, Fraction]) -> Fraction:
        """Its exact value at exact numbers of the symbols and of s. Raises ZeroDivisionError at a pole."""
        return spectrum(self.exact.inquiry, point).exactly_at(point["s"])


@dataclass(frozen=True)
class Bench:
    """What the pieces of one question share. ``thorough``: whether short forms are searched for (about a second each
    for a circuit of eight devices); else exact forms and numbers only.
    """

    prepared: Prepared
    statements: Sequence[Resolved]
    thorough: bool = True

    def exact(self, inquiry: Inquiry) -> Exact:
        """Raises NoSolution, TooLarge."""
        return answer(inquiry, self.prepared.ground.numbers, self.prepared.ground.ring)

    def piece(self, name: Name, rule: Words, inquiry: Inquiry, tag: str = "") -> Derived:
        """The piece of that name; ``tag`` marks the names of its parts. Raises NoSolution, TooLarge."""
        return self.of_exact(name, rule, self.exact(inquiry), tag)

    def of_exact(self, name: Name, rule: Words, exact: Exact, tag: str = "") -> Derived:
        ground = self.prepared.ground
        spot = exact.spectrum.at_frequency(ground.spot)
        reading: Words = (Reading(spot, exact.inquiry.unit, style="magnitude"),)
        tree = self._exact_tree(exact)
        if tree is not None:
            trials = [{**point, name: spectrum(exact.inquiry, point).exactly_at(point["s"])} for point in self._points]
            return Derived(name, exact, spot, tree, 0.0, (equal(rule, (Line(name, "=", tree),), reading, trials),))
        found = shortest(exact, self.statements, ground, self.prepared.style, DEFAULT) if self.thorough else None
        if found is None or not found.reached:
            size: Words = (f"too long to read ({of_terms(exact.terms)}): by its numbers",)
            return Derived(name, exact, spot, None, 0.0, (remark((Formula(name), ", ", *rule), reading, size),))
        return self._short(name, rule, exact, spot, found, tag)

    @property
    def _points(self) -> tuple[Mapping[str, Fraction], ...]:
        return points(self.prepared.ground.ring.names)

    def _exact_tree(self, exact: Exact) -> Expr | None:
        if exact.ratio is None or sum(exact.ratio.counts) > LONGEST:
            return None
        style = self.prepared.style
        if not self.thorough:
            return write(style, exact.ratio, ONE_PIECE) if sum(exact.ratio.counts) <= BRIEF else None
        tree = present_whole(style, exact.ratio)
        return None if tree is None or style.cost(tree) > READABLE else tree

    def _short(self, name: Name, rule: Words, exact: Exact, spot: complex, found: Short, tag: str) -> Derived:
        names: dict[Name, Expr] = {p.name: Name(f"{p.name.name}{tag}") for p in found.written.pieces}
        value = found.spectrum.at_frequency(self.prepared.ground.spot)
        tree = replace_names(found.written.tree, names)
        rest = tuple(_piece_step(piece, names) for piece in found.written.pieces)
        if found.exact and not any(isinstance(x, Call) for p in found.written.pieces for x in walk(p.tree)):
            trials = [self._trial(name, exact, found, names, point) for point in self._points]
            reading: Words = (Reading(spot, exact.inquiry.unit, style="magnitude"),)
            return Derived(
                name, exact, spot, tree, 0.0, (equal(rule, (Line(name, "=", tree),), reading, trials), *rest)
            )
        note: Words = ("exact ", Reading(spot, exact.inquiry.unit, style="magnitude"), "; ", *error_words(found.error))
        number: Words = (Reading(value, exact.inquiry.unit, style="magnitude"),)
        first = approximate(rule, (Line(name, "≈", tree),), number, found.error.worst, note)
        return Derived(name, exact, spot, tree, found.error.worst, (first, *rest))

    def _trial(
        self, name: Name, exact: Exact, found: Short, names: Mapping[Name, Expr], point: Mapping[str, Fraction]
    ) -> dict[Any, Any]:
        values: dict[Any, Any] = {**point, name: spectrum(exact.inquiry, point).exactly_at(point["s"])}
        for piece in found.written.pieces:
            values[piece.name] = values[names[piece.name]] = evaluate(piece.tree, values)
        return values


RULES = {"corner": "corner", "quality": "quality", "ratio": "across a part, per volt at the port", "factor": "factor"}


def _piece_step(piece: Piece, names: Mapping[Name, Expr]) -> Step:
    reading = Reading(piece.value, piece.unit, style="magnitude")
    number: Words = (reading,)
    if piece.kind == "corner":
        number = (reading, " = 2π · ", Reading(abs(piece.value) / (2 * pi), "Hz"))
    line = Line(names[piece.name], ":=", replace_names(piece.tree, names))
    return Step((RULES[piece.kind],), (line,), number, NAMED, (), "equal")


def combined(
    rule: Words, lines: tuple[Line, ...], number: Words, pieces: Sequence[Derived], bench: Bench, note: Words = ()
) -> Step:
    """A step of equalities over the names of pieces (and symbols), checked at random exact points."""
    trials = []
    for point in points(bench.prepared.ground.ring.names):
        values: dict[Any, Fraction] = dict(point)
        for piece in pieces:
            values[piece.name] = piece.at(point)
        trials.append(values)
    return equal(rule, lines, number, trials, note)
