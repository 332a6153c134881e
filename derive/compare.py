"""Circuits side by side: the order of the stages from descriptions to the files of a comparison.

Enters: the path of a description with variants, or of two descriptions. Leaves: files, a status.
Must not know: how any stage does its work.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from derive.comparing.differences import cost, derivations_of, parts_that_differ, steps_that_differ
from derive.derivation.analyse import analyse
from derive.derivation.analysis import Analysis
from derive.derivation.practice import with_criteria
from derive.derivation.wording import label, verdict
from derive.description.reader import read, read_options
from derive.document.compose.comparing import compose_comparison
from derive.document.compose.contrasts import Choice
from derive.errors import DescriptionError, ToolMissing
from derive.publish import publish
from derive.record import record
from derive.typeset import render, typeset
from derive.versions import versions

Say = Callable[[str], None]
DONE, MISSED, MISSING = 0, 1, 3


def compare(paths: list[Path], output: Path, pdf: bool, say: Say, complain: Say) -> int:
    """Writes the comparison; the exit status. Raises DeriveError."""
    analyses, said, choice, folder = _read(paths)
    missing = None
    known = versions()
    document = compose_comparison(analyses, said, choice, known)
    symbols = sorted({name for analysis in analyses.values() for name in analysis.network.symbols})
    devices = sorted(
        {p.name for a in analyses.values() for p in a.circuit.parts.values()
         if p.kind in ("bjt", "jfet", "mosfet", "diode", "opamp")}
    )  # fmt: skip
    files: dict[str, bytes] = {}
    sheet = render(document, symbols, devices)
    if pdf:
        try:
            sheet, files["comparison.pdf"] = typeset(document, symbols, devices)
        except ToolMissing as error:
            missing = str(error)
    files |= {"comparison.tex": sheet.tex.encode(), **sheet.pictures}
    text = json.dumps(_record(analyses, choice, known), indent=1, ensure_ascii=False, allow_nan=False)
    files["record.json"] = text.encode() + b"\n"
    publish(output / folder, files)
    say(str(output / folder / ("comparison.pdf" if "comparison.pdf" in files else "comparison.tex")))
    if missing is not None:
        complain(missing)
        return MISSING
    decided = analyses.get(choice.decision) if choice is not None else None
    if decided is not None and any(not met.holds for met in decided.criteria):
        complain(f"{folder}: the option that was chosen misses a criterion; the sheet says which")
        return MISSED
    return DONE


def _read(paths: list[Path]) -> tuple[dict[str, Analysis], Mapping[str, str | None], Choice | None, str]:
    """The circuits by name, what is said of them, the choice, the name of the folder."""
    if len(paths) == 1:
        circuits, table, said = read_options(paths[0])
        if len(circuits) < 2:
            what = "there is no [variant.NAME] in it to compare with"
            raise DescriptionError(str(paths[0]), None, what, "write one, or give two descriptions")
        choice = None if table is None else Choice(table.question, table.decision, table.because, table.options)
        folder = f"{paths[0].stem}-compared"
    else:
        names = [path.stem for path in paths]
        if names[0] == names[1]:
            names = [str(path.with_suffix("")) for path in paths]
        circuits = {name: read(path) for name, path in zip(names, paths, strict=True)}
        if len(circuits) < 2:
            raise DescriptionError(str(paths[1]), None, "both are the same file", "give two descriptions")
        first, second = circuits
        about = replace(circuits[second].about, spot=circuits[first].about.spot, band=circuits[first].about.band)
        circuits[second] = replace(circuits[second], about=about)
        said, choice, folder = {}, None, f"{paths[0].stem}-and-{paths[1].stem}"
    return {name: with_criteria(analyse(circuit)) for name, circuit in circuits.items()}, said, choice, folder


def _record(analyses: Mapping[str, Analysis], choice: Choice | None, known: Mapping[str, str]) -> dict[str, Any]:
    """The comparison as plain data; under ``circuits`` the record of each."""
    first = next(iter(analyses))
    return {
        "format": 1,
        "circuits": {name: record(analysis, known) for name, analysis in analyses.items()},
        "parts": {
            d.name: dict(zip(analyses, d.words, strict=True))
            for d in parts_that_differ([a.circuit for a in analyses.values()])
        },
        "assumptions": {
            name: {label(s.number): verdict(s, analysis.worst_alone(s.number)) for s in analysis.statements}
            for name, analysis in analyses.items()
        },
        "steps": [
            {"question": question, "against": name, "alike": found.alike, "only_first": list(found.only_first),
             "only_other": list(found.only_other)}
            for question, derivations in derivations_of(analyses).items()
            for name in derivations
            if first in derivations and name != first
            for found in (steps_that_differ(derivations[first], derivations[name]),)
        ],
        "cost": {name: vars(cost(analysis)) for name, analysis in analyses.items()},
        "choice": None if choice is None else {
            "question": choice.question, "decision": choice.decision, "because": choice.because,
            "options": dict(choice.options),
        },
    }  # fmt: skip
