"""From a file to a checked Circuit.

Enters: a path, or a text and its name. Leaves: a Circuit, or a DescriptionError with file, line, fault and
remedy. Must not know: how any stage does its work. The order: text, TOML, tables, circuit.
"""

from __future__ import annotations

from pathlib import Path

from derive.circuit.build import build_circuit
from derive.circuit.records import Circuit
from derive.description.outline import read_outline
from derive.description.source import Source, load, source_of_file, source_of_text
from derive.description.variants import BASE, ChoiceTable, data_of, read_variants, source_of


def read(path: str | Path) -> Circuit:
    """Read a circuit description from a file. Raises DescriptionError."""
    return _read(source_of_file(path))


def read_options(path: str | Path) -> tuple[dict[str, Circuit], ChoiceTable | None, dict[str, str | None]]:
    """A description with its variants: the circuit of each by name, the choice, what is said of each.

    Raises DescriptionError.
    """
    source = source_of_file(path)
    data = load(source)
    circuits = {BASE: build_circuit(read_outline(data, source))}
    found = read_variants(data, source)
    for name, table in found.tables.items():
        own = source_of(source, name, table)
        circuits[name] = build_circuit(read_outline(data_of(data, table), own))
    return circuits, found.choice, {BASE: None, **{name: table.says for name, table in found.tables.items()}}


def read_text(text: str, name: str) -> Circuit:
    """Read a circuit description from a text; ``name`` is what messages call it. Raises DescriptionError."""
    return _read(source_of_text(text, name))


def _read(source: Source) -> Circuit:
    return build_circuit(read_outline(load(source), source))
