"""All that is known of a circuit's loops, in one record: the loops, every connection's effect, what the author asks.

Enters: a prepared circuit. Leaves: a record. What goes wrong is told with its place in the description.
Must not know: words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction

from derive.answers.exact import NoSolution
from derive.answers.inquire import Unanswerable
from derive.circuit.records import Circuit, Connection, Sweep
from derive.derivation.analyse import Prepared
from derive.derivation.records import Shortened
from derive.errors import TooLarge
from derive.explain.connection import Cut, cut
from derive.explain.effects import Effects, effects
from derive.explain.loops import Loops, find_loops
from derive.explain.sweep import Swept, sweep


@dataclass(frozen=True)
class Survey:
    """``effects`` None where nothing could be watched; ``cuts`` and ``swept`` in the order of the description."""

    circuit: Circuit
    numbers: Mapping[str, Fraction]
    loops: Loops
    effects: Effects | None
    cuts: tuple[Cut, ...]
    swept: tuple[Swept, ...]


def survey(prepared: Prepared, written: Collection[str] | None = None) -> Survey:
    """The survey; ``written`` as in ``find_loops``. Raises DescriptionError, TooLarge."""
    circuit = prepared.circuit
    loops = find_loops(prepared, written)
    main = loops.main.of if loops.main is not None else None
    known: dict[str, Shortened | None] = {}
    known |= {loop.name.name: loop.shortened for loop in loops.loops if loop.shortened is not None}
    cuts, swept = [], []
    for connection in circuit.connections:
        with _placed(circuit, connection):
            cuts.append(cut(prepared, connection, main, known))
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
