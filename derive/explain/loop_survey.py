"""All that is known of a circuit's loops, in one record: the loops, every connection's effect, what the author asks.

Enters: a prepared circuit. Leaves: a record. What goes wrong is told with its place in the description.
Must not know: words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from derive.answers.exact import NoSolution
from derive.answers.inquire import Unanswerable
from derive.circuit.records import Circuit, Connection, Sweep
from derive.errors import TooLarge
from derive.explain.connection import Cut, cut
from derive.explain.effects import Effects, effects
from derive.explain.loops import Loops, find_loops
from derive.explain.sweep import Swept, sweep
from derive.explain.written import Written

if TYPE_CHECKING:
    from derive.derivation.analyse import Prepared


@dataclass(frozen=True)
class Survey:
    """``effects`` None where nothing could be watched; ``cuts`` and ``swept`` in the order of the description."""

    circuit: Circuit
    numbers: Mapping[str, Fraction]
    loops: Loops
    effects: Effects | None
    cuts: tuple[Cut, ...]
    swept: tuple[Swept, ...]


def survey(
    prepared: Prepared,
    wanted: Collection[str] | None = None,
    known: Mapping[str, Written] | None = None,
    formulas: bool = True,
) -> Survey:
    """The survey; ``wanted`` as in ``find_loops``; ``known``: formulas that are found already, by name.

    ``formulas``: whether connections that are cut get formulas, beside their numbers.

    Raises DescriptionError, TooLarge.
    """
    circuit = prepared.circuit
    forms: dict[str, Written | None] = dict(known or {})
    loops = find_loops(prepared, wanted, forms)
    main = loops.main.of if loops.main is not None else None
    forms |= {loop.name.name: loop.written for loop in loops.loops if loop.written is not None}
    cuts, swept = [], []
    for connection in circuit.connections:
        with _placed(circuit, connection):
            cuts.append(cut(prepared, connection, main, forms, formulas))
    for asked in circuit.sweeps:
        with _placed(circuit, asked):
            found = sweep(prepared, asked, main)
            if found is None:
                raise NoSolution
            swept.append(found)
    watched = effects(prepared, main)
    numbers = prepared.ground.numbers
    return Survey(circuit, numbers, loops, watched if watched.watched else None, tuple(cuts), tuple(swept))


@contextmanager
def _placed(circuit: Circuit, asked: Connection | Sweep) -> Iterator[None]:
    """What goes wrong inside is told with the line of the question."""
    try:
        yield
    except NoSolution:
        raise circuit.source.error(
            asked.path,
            f"{asked.name} has no answer: the network's determinant is zero, so a voltage is undetermined",
            "look for a node without a path to ground, or an op amp without feedback",
        ) from None
    except (Unanswerable, TooLarge) as error:
        raise circuit.source.error(asked.path, f"{asked.name}: {error}", "") from None
