"""Which number of a page is which quantity, so that it can follow when a part is varied.

Enters: the analysis, the document composed from it. Leaves: ``Live``, or None where nothing is to be varied.
Must not know: pages, scripts.

A reading is recognised by its value, to ten digits and more, among all that can be computed anew: the value of the
line of algebra beside it first, then answers, errors, voltages and shares. Where recipes that differ elsewhere have
the same value here, and where a value is so round that it may be many things, it is not recognised. What is not
recognised keeps its number, and is marked as one of the description's.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass
from math import isfinite
from typing import Any

from derive.derivation.analysis import Analysis
from derive.document.records import Document, Heading, Ledger, Row, Table
from derive.expression.tree import Expr, Name, Relation, Sym
from derive.live.candidates import Candidates
from derive.live.records import Combined, Found, Live, Recipe, Shown, Slider, Varied
from derive.live.values import Bench
from derive.words import Formula, Line, Node, Reading, Words

CLOSE, SAME = 1e-12, 1e-9
"""Relative differences up to which two values are one: the wider only where nothing lies within the narrower."""
ROUND_DIGITS = 5
"""A value that so many digits hold is recognised only beside its own line or name."""
ELSEWHERE = (1.37, 0.71, 1.93, 0.57, 1.19, 0.83, 1.61, 0.64)
"""Factors of the sliders at which recipes are compared once more."""
TINY = 1e-13


def live_of(analysis: Analysis, document: Document) -> Live | None:
    """How the document's numbers follow the symbols that its author wants varied."""
    network = analysis.network
    # A part with both ends on one node is no symbol of the network: nothing depends on it.
    names = [name for name in analysis.circuit.about.vary if name in network.symbols]
    if not names:
        return None
    sliders = tuple(Slider(n, network.symbols[n].unit, float(network.symbols[n].value)) for n in names)
    return _Recogniser(analysis, sliders).live(document)


class _Recogniser:
    def __init__(self, analysis: Analysis, sliders: tuple[Slider, ...]) -> None:
        self.sliders = sliders
        self.spot = float(analysis.ground.spot)
        self.candidates = Candidates(analysis, tuple(slider.name for slider in sliders))
        responses = self.candidates.responses
        here = tuple(slider.value for slider in sliders)
        there = tuple(v * ELSEWHERE[place % len(ELSEWHERE)] for place, v in enumerate(here))
        self.here, self.there = (Bench(values, responses, self.spot) for values in (here, there))
        self.found: dict[int, Found] = {}
        self.pool = _Pool(())

    def live(self, document: Document) -> Live:
        self.pool = _Pool(self._valued(self.candidates.recipes))
        section: list[Any] = []
        for block in (*document.blocks, Heading(1, ())):
            if isinstance(block, Heading) and block.level == 1:
                self._section(section)
                section = []
            section.append(block)
        found, plots = self.found, tuple(self.candidates.plots)
        return Live(self.sliders, self.spot, tuple(self.candidates.responses), found, plots)

    def _valued(self, recipes: Sequence[Recipe]) -> list[tuple[complex, Recipe]]:
        pairs = []
        for recipe in recipes:
            for part in ("whole", "abs", "real", "imag"):
                shown = recipe if part == "whole" else Shown(part, recipe)
                try:
                    pairs.append((self.here.at(shown), shown))
                except (ArithmeticError, ValueError):
                    break
        return pairs

    def _section(self, blocks: list[Any]) -> None:
        label = next((b.label for b in blocks if isinstance(b, Heading)), "")
        names = self._names(label, blocks)
        # The numbers of pieces are wanted too where they stand alone, in another row or among the answers.
        self.pool.add(self._valued([recipe for name, recipe in names.items() if isinstance(name, Name)]))
        for block in blocks:
            if isinstance(block, Ledger):
                for row in block.rows:
                    self._row(row, names)
            elif isinstance(block, Table):
                for cells in block.rows:
                    self._cells(cells)
            else:
                self._all(block, [])

    def _names(self, label: str, blocks: list[Any]) -> dict[Expr, Recipe]:
        """Recipes of the names that the section's own lines give, and of its answer and voltages."""
        names: dict[Expr, Recipe] = dict(self.candidates.known.get(label, {}))
        names.update({Name(n): spot for n, spot in self.candidates.exact.items() if Name(n) not in names})
        lines = [line for b in blocks if isinstance(b, Ledger) for row in b.rows for line in row.algebra]
        waiting = [line for line in lines if isinstance(line.left, Name) and line.left not in names]
        for _ in range(len(waiting)):
            for line in waiting:
                assert line.left is not None
                recipe = self.candidates.formula(line.right, names) if line.left not in names else None
                if recipe is not None:
                    names[line.left] = recipe
        return names

    def _row(self, row: Row, names: dict[Expr, Recipe]) -> None:
        found = [self.candidates.formula(line.right, names) for line in row.algebra]
        own: list[Recipe] = [recipe for recipe in found if recipe is not None]
        self._all(row.number, own)
        exact = [names[line.left] for line in row.algebra if line.sign == "≈" and line.left in names]
        errors: list[Recipe] = [Shown("whole", Combined("error", a, e), 100.0) for a in own for e in exact]
        self._all((row.rule, row.note), [*errors, *self._beside(row.rule, names)])

    def _beside(self, words: Words, names: dict[Expr, Recipe]) -> list[Recipe]:
        """The recipes of formulas whose numbers follow them after a sign of equality."""
        found: list[Recipe] = []
        for formula, sign, number in zip(words, words[1:], words[2:], strict=False):
            if isinstance(formula, Formula) and sign == " = " and isinstance(number, Reading):
                expr = formula.expr
                recipe = None if isinstance(expr, Relation) else self.candidates.formula(expr, names)
                found += [recipe] if recipe is not None else []
        return found

    def _cells(self, cells: tuple[Words, ...]) -> None:
        """A row of a table; where it opens with the name of what is varied, its value is the slider's."""
        named = _named(cells[0])
        place = next((k for k, slider in enumerate(self.sliders) if slider.name == named), None)
        self._all(cells, [Varied(place)] if place is not None else [])

    def _all(self, record: Any, own: list[Recipe]) -> None:
        local = _Pool(self._valued(own))
        for reading in readings(record):
            found = self._recognised(reading, local)
            if found is not None:
                self.found[id(reading)] = found

    def _recognised(self, reading: Reading, local: _Pool) -> Found | None:
        """How a reading follows; None where it does not depend on what is varied."""
        near = local.nearest(reading.value)
        if not near and reading.style == "stated":
            return None
        if not near and not _is_round(reading.value):
            near = self.pool.nearest(reading.value)
        if not near:
            return Found(None)
        values = [self._elsewhere(recipe) for recipe in near]
        first = values[0]
        if first is None or not all(value is not None and _same(value, first) for value in values):
            return Found(None)
        return None if _same(first, reading.value, TINY) else Found(near[0])

    def _elsewhere(self, recipe: Recipe) -> complex | None:
        try:
            return self.there.at(recipe)
        except (ArithmeticError, ValueError):
            return None


class _Pool:
    """Recipes with their values, sorted by magnitude so that a value is found among thousands at once."""

    def __init__(self, pairs: Iterable[tuple[complex, Recipe]]) -> None:
        self.pairs: list[tuple[complex, Recipe]] = []
        self.order: list[tuple[float, int]] = []
        self.add(pairs)

    def add(self, pairs: Iterable[tuple[complex, Recipe]]) -> None:
        self.pairs += pairs
        sizes = ((abs(value), place) for place, (value, _) in enumerate(self.pairs))
        self.order = sorted((size, place) for size, place in sizes if isfinite(size))

    def nearest(self, wanted: complex) -> list[Recipe]:
        """The recipes whose value is the wanted one, as they were added; some lie within 1e-9 of each other."""
        size = abs(wanted)
        first = bisect_left(self.order, (size * (1 - 2 * SAME), 0))
        last = bisect_right(self.order, (size * (1 + 2 * SAME), len(self.pairs)))
        around = [self.pairs[place] for place in sorted(place for _, place in self.order[first:last])]
        for within in (CLOSE, SAME):
            if found := [recipe for value, recipe in around if _same(value, wanted, within)]:
                return found
        return []


def _same(value: complex, other: complex, within: float = SAME) -> bool:
    return abs(value - other) <= within * max(abs(value), abs(other))


def _is_round(value: complex) -> bool:
    value = complex(value)
    return value.imag == 0 and float(f"{value.real:.{ROUND_DIGITS}g}") == value.real


def _named(words: Words) -> str | None:
    """The part or symbol whose name alone stands there."""
    match words:
        case (Node(name),) | (Formula(Sym(name)),):
            return name
    return None


def readings(record: Any) -> Iterator[Reading]:
    """All readings of a document or of a part of it."""
    match record:
        case Reading():
            yield record
        case Formula() | Line() | str():
            return
        case tuple():
            for part in record:
                yield from readings(part)
        case _ if is_dataclass(record):
            for entry in fields(record):
                yield from readings(getattr(record, entry.name))
