"""An analysis kept for a description in which only words have changed.

Enters: circuits, one after the other. Leaves: the analysis of each. Must not know: pages, files.

Whoever writes on a worksheet mostly changes words: the title, the purpose, why a statement is made. Nothing that is
derived rests on them, so the analysis is kept and only its words are renewed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from derive.circuit.records import Circuit, Statement
from derive.derivation.analysis import Analysis

WORDS: dict[str, Any] = {"title": "", "purpose": None, "author": None, "owner": None, "approved": None, "number": None,
         "revision": None, "date": None, "vary": ()}  # fmt: skip
"""What is said of a sheet and bears on no derivation."""


@dataclass
class Again:
    """``analyse`` derives a circuit from the beginning."""

    analyse: Callable[[Circuit], Analysis]
    _key: Any = None
    _kept: Analysis | None = None

    def of(self, circuit: Circuit) -> Analysis:
        """The analysis of a circuit, derived anew unless only words differ from the circuit before."""
        key = _without_words(circuit)
        if self._kept is None or key != self._key:
            self._key, self._kept = None, None
            self._kept = self.analyse(circuit)
            self._key = key
            return self._kept
        statements = {statement.number: statement for statement in circuit.statements}
        resolved = tuple(replace(r, statement=statements[r.number]) for r in self._kept.statements)
        return replace(self._kept, circuit=circuit, statements=resolved)


def _without_words(circuit: Circuit) -> dict[str, Any]:
    """All that a circuit holds but its source and words."""
    found: dict[str, Any] = {entry.name: getattr(circuit, entry.name) for entry in fields(circuit)}
    del found["source"]
    found["about"] = replace(circuit.about, **WORDS)
    found["statements"] = tuple(map(_bare, circuit.statements))
    return {name: dict(value) if isinstance(value, Mapping) else value for name, value in found.items()}


def _bare(statement: Statement) -> Statement:
    return replace(statement, because=None, name=None)
