"""The order of the stages, from a description to the files of its worksheet.

Enters: a circuit. Leaves: a worksheet in memory; ``write`` puts it on disk. The one file that knows all stages.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from derive.bias.records import Bias
from derive.circuit.records import Circuit
from derive.derivation.analyse import derive_all, inquiries, prepare
from derive.derivation.analysis import Analysis
from derive.derivation.practice import practise
from derive.document.compose import compose
from derive.document.compose.assumptions import any_false
from derive.document.compose.powers import loads
from derive.errors import Defect, ToolMissing
from derive.numbers import plain
from derive.opinion.second import Pending, Verdict, start
from derive.publish import publish
from derive.record import record
from derive.typeset import Sheet, render, typeset
from derive.versions import versions
from derive.words import Words

SECOND_OPINION_SECONDS = 120.0
Told = Callable[[str], None]


@dataclass(frozen=True)
class Worksheet:
    """A finished worksheet: its files by name, and what a caller may want to say about it.

    ``missing``: why there is no PDF, or None. ``something_false``: some statement is false at this bias point.
    ``hand_wrong``: some result by hand does not hold. ``bench_disagrees``: some measurement disagrees.
    """

    analysis: Analysis
    files: dict[str, bytes]
    something_false: bool
    second_opinion: tuple[Verdict, ...]
    missing: str | None
    hand_wrong: bool = False
    bench_disagrees: bool = False

    @property
    def bias_remarks(self) -> list[str]:
        """What the terminal should say of the bias point: contradictions, and several points."""
        bias = self.analysis.bias
        if not isinstance(bias, Bias):
            return []
        remarks = [
            f"{c.part}: stated {plain(c.stated, 'A', 3)}, the circuit gives {plain(c.found, 'A', 3)}"
            for c in bias.contradictions
        ]
        if len(bias.points) > 1:
            remarks.append(f"{len(bias.points)} operating points were found; the sheet lists them")
        if bias.point.stable is False:
            remarks.append("no circuit stays at this operating point: a small disturbance grows")
        odd = [d for d in bias.point.devices.values() if d.region in ("saturated", "reversed", "ohmic", "off")]
        remarks += [f"{d.part} is {d.region} at the operating point" for d in odd]
        for load in loads(bias.point, self.analysis.circuit):
            if load.share > 1:
                remarks.append(f"{load.part} takes up {plain(load.power, 'W', 3)} of {plain(load.rating, 'W', 3)}")
        return remarks

    @property
    def wanted_remarks(self) -> list[str]:
        """What the terminal should say of criteria that are not met, and of parts that no value helps."""
        missed = [met.criterion for met in self.analysis.criteria if not met.holds]
        remarks = [f"{criterion.name} (of {criterion.of}) is not met" for criterion in missed]
        lacking = [found.target for found in self.analysis.solved if found.value is None]
        return remarks + [f"no value of {target.part} gives the {target.of} that is wanted" for target in lacking]


def make(circuit: Circuit, *, pdf: bool = True, opinion: bool = True, told: Told = lambda _: None) -> Worksheet:
    """The worksheet of a circuit. Raises DescriptionError, and Defect where any check fails.

    The second opinion runs in a process of its own beside derivation and typesetting. The page is set on the
    expectation that it confirms; a disagreement stops everything, and if it is not available the page is set
    again and says so.
    """
    told("finding the bias point")
    prepared = prepare(circuit)
    pending: Pending | None = None
    if opinion:
        pending = start(inquiries(prepared), prepared.ground.numbers)
    analysis = derive_all(prepared, lambda name: told(f"deriving {name}"))
    analysis = practise(analysis, told)
    known = versions()
    expected = [Verdict(d.question.name, "confirmed") for d in analysis.derivations] if pending else []
    told("composing and typesetting the page")
    page = _page(analysis, opinion_words(expected), known, pdf)
    verdicts: list[Verdict] = []
    if pending:
        told("waiting for the second opinion")
        spectra = {d.question.name: d.exact.spectrum for d in analysis.derivations}
        verdicts = pending.collect(spectra, SECOND_OPINION_SECONDS)
        _require_no_disagreement(verdicts)
        if opinion_words(verdicts) != opinion_words(expected):
            page = _page(analysis, opinion_words(verdicts), known, pdf)
    files = {"worksheet.tex": page.sheet.tex.encode(), **page.sheet.pictures}
    if page.pdf is not None:
        files["worksheet.pdf"] = page.pdf
    text = json.dumps(
        {**record(analysis, known), "second_opinion": {v.name: v.outcome for v in verdicts}},
        indent=1, ensure_ascii=False, allow_nan=False,
    )  # fmt: skip
    files["record.json"] = text.encode() + b"\n"
    wrong = any(not judged.holds for judged in analysis.hands)
    disagrees = analysis.benches is not None and not analysis.benches.agrees
    return Worksheet(analysis, files, any_false(analysis), tuple(verdicts), page.missing, wrong, disagrees)


def write(worksheet: Worksheet, folder: Path) -> None:
    """Puts the files of a worksheet into a folder, which is replaced whole or left as it was."""
    publish(folder, worksheet.files)


def opinion_words(verdicts: list[Verdict]) -> Words:
    """The second opinion in one sentence."""
    if not verdicts:
        return ("No second opinion was asked for.",)
    confirmed = [v for v in verdicts if v.outcome == "confirmed"]
    others = [v for v in verdicts if v.outcome != "confirmed"]
    what = "exact answer" if len(confirmed) == 1 else "exact answers"
    count, verb = ("", "was") if len(confirmed) == 1 else (f"{len(confirmed)} ", "were")
    words = (
        f"The {count}{what} {verb} confirmed from the equations that lcapy writes for the same network: "
        "solved exactly, they give the same ratio of polynomials in s at these numbers."
    )
    if not others:
        return (words,)
    rest = "; ".join(f"{v.name}: {v.why}" for v in others)
    return ((words + " " if confirmed else "") + f"No second opinion could be had on {rest}.",)


def _require_no_disagreement(verdicts: list[Verdict]) -> None:
    wrong = [v for v in verdicts if v.outcome == "disagrees"]
    if wrong:
        raise Defect("the second opinion disagrees: " + "; ".join(f"{v.name}: {v.why}" for v in wrong))


@dataclass(frozen=True)
class _Page:
    sheet: Sheet
    pdf: bytes | None
    missing: str | None


def _page(analysis: Analysis, opinion: Words, known: dict[str, str], pdf: bool) -> _Page:
    """The page set, as PDF where that is wanted and TeX is there."""
    document = compose(analysis, opinion, known)
    symbols = analysis.network.symbols
    devices = [p.name for p in analysis.circuit.parts.values() if p.kind in ("bjt", "jfet", "mosfet", "diode", "opamp")]
    missing = None
    if pdf:
        try:
            return _Page(*typeset(document, symbols, devices), None)
        except ToolMissing as error:
            missing = str(error)
    return _Page(render(document, symbols, devices), None, missing)
