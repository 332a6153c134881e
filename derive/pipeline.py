"""The order of the stages, from a description to the files of its worksheet.

Enters: a circuit. Leaves: a worksheet in memory; ``write`` puts it on disk. The one file that knows all stages.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from derive.attachments import attachments
from derive.bias.records import Bias
from derive.circuit.records import Circuit
from derive.derivation.analyse import analyse, derive_all, inquiries, prepare, prepared_of
from derive.derivation.analysis import Analysis
from derive.derivation.practice import practise
from derive.document.compose import compose
from derive.document.compose.assumptions import any_false
from derive.document.compose.powers import loads
from derive.drawing.records import Drawing
from derive.equivalents import equivalents
from derive.errors import Defect, ToolMissing
from derive.explain.insight import Insight, explanations_of, look
from derive.explain.written import Written
from derive.expression.tree import Name
from derive.live.recognise import live_of
from derive.numbers import plain
from derive.opinion.second import Pending, Verdict, start
from derive.places import places_file, written_places
from derive.publish import CannotWrite, publish, replace_file
from derive.record import record
from derive.record_explain import insight_record
from derive.schematic.path import of_chain
from derive.sketch import Missing, sketch
from derive.studies import study_all
from derive.summarise import summarised
from derive.typeset import Sheet, render, typeset
from derive.typeset.archive import archive
from derive.typeset.page import A4
from derive.typeset.paper import Paper
from derive.versions import versions
from derive.web import page as web
from derive.words import Words

SECOND_OPINION_SECONDS = 120.0
Told = Callable[[str], None]


@dataclass(frozen=True)
class Worksheet:
    """A finished worksheet: its files by name, and what a caller may want to say about it.

    ``missing``: why there is no PDF, or None. ``something_false``: some statement is false at this bias point.
    ``hand_wrong``: some result by hand does not hold. ``drawing``: the circuit as drawn, or why it is not.
    ``bench_disagrees``: some measurement disagrees. ``unstable``: not all poles of the network lie in the left half
    plane.
    """

    analysis: Analysis
    files: dict[str, bytes]
    something_false: bool
    second_opinion: tuple[Verdict, ...]
    missing: str | None
    hand_wrong: bool = False
    drawing: Drawing | Missing | None = None
    bench_disagrees: bool = False
    unstable: bool = False

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


def make(
    circuit: Circuit,
    *,
    pdf: bool = True,
    opinion: bool = True,
    drawing: bool = True,
    paper: Paper = A4,
    summary: bool = False,
    told: Told = lambda _: None,
) -> Worksheet:
    """The worksheet of a circuit. Raises DescriptionError, and Defect where any check fails.

    The second opinion runs in a process of its own beside derivation and typesetting. The page is set on the
    expectation that it confirms; a disagreement stops everything, and if it is not available the page is set
    again and says so.
    """
    told("finding the bias point")
    prepared = prepare(circuit)
    pending: Pending | None = None
    if opinion and circuit.questions:
        pending = start(inquiries(prepared), prepared.ground.numbers)
    analysis = derive_all(prepared, lambda name: told(f"deriving {name}"))
    analysis = practise(analysis, told)
    analysis = replace(analysis, studies=study_all(prepared, lambda name: told(f"deriving {name}")))
    found = look(prepared, known_forms(analysis), told)
    known = versions()
    drawn: Drawing | Missing | None = None
    if drawing:
        told("drawing the circuit")
        drawn = sketch(circuit, analysis.bias, _signal_path(analysis))
    small = equivalents(analysis, _signal_path(analysis)) if isinstance(drawn, Drawing) else {}
    shown = drawn.why if isinstance(drawn, Missing) else drawn
    expected = [Verdict(d.question.name, "confirmed") for d in analysis.derivations] if pending else []
    told("composing and typesetting the page")
    page = _page(analysis, found, opinion_words(expected), known, pdf, shown, paper, small)
    verdicts: list[Verdict] = []
    if pending:
        told("waiting for the second opinion")
        spectra = {d.question.name: d.exact.spectrum for d in analysis.derivations}
        verdicts = pending.collect(spectra, SECOND_OPINION_SECONDS)
        _require_no_disagreement(verdicts)
        if opinion_words(verdicts) != opinion_words(expected):
            page = _page(analysis, found, opinion_words(verdicts), known, pdf, shown, paper, small)
    files = {"worksheet.html": page.html.encode(), "worksheet.tex": page.sheet.tex.encode(), **page.sheet.pictures}
    text = json.dumps(
        {**record(analysis, known), **insight_record(found), "second_opinion": {v.name: v.outcome for v in verdicts}},
        indent=1, ensure_ascii=False, allow_nan=False,
    )  # fmt: skip
    files["record.json"] = text.encode() + b"\n"
    if page.pdf is not None and summary:
        told("setting the summary")
        short = summarised(analysis, found, known, shown, devices_of(analysis), paper)
        files["summary.pdf"] = archive(short, attachments(circuit, files["record.json"]))
    if page.pdf is not None:
        files["worksheet.pdf"] = archive(page.pdf, attachments(circuit, files["record.json"]))
    wrong = any(not judged.holds for judged in analysis.hands)
    disagrees = analysis.benches is not None and not analysis.benches.agrees
    poles = found.survey.loops.natural if found.survey is not None else None
    unstable = poles is not None and not poles.stable
    return Worksheet(
        analysis, files, any_false(analysis), tuple(verdicts), page.missing, wrong, drawn, disagrees, unstable
    )


def page_of(
    circuit: Circuit, *, drawing: bool = True, analyse: Callable[[Circuit], Analysis] = analyse
) -> Callable[[str], str]:
    """The page alone, without PDF and second opinion, for each stamp that it may bear; as ``make`` otherwise."""
    analysis = analyse(circuit)
    # Loops and second roads take seconds: they are left to the sheet that is made in earnest.
    found = Insight(explanations_of(prepared_of(analysis)), None, {})
    drawn = sketch(circuit, analysis.bias, _signal_path(analysis)) if drawing else None
    shown = drawn.why if isinstance(drawn, Missing) else drawn
    document = compose(analysis, opinion_words([]), versions(), found, shown)
    live = live_of(analysis, document)
    symbols, devices = analysis.network.symbols, devices_of(analysis)
    return lambda stamp: web.render(document, symbols, devices, live=live, watched=stamp)


def known_forms(analysis: Analysis) -> dict[str, Written]:
    """The short forms that the answers have already, by the name of the question."""
    return {
        d.question.name: Written(d.shortened.steps, d.shortened)
        for d in analysis.derivations
        if d.shortened is not None and d.shortened.name == Name(d.question.name)
    }


def write(worksheet: Worksheet, folder: Path) -> None:
    """Puts the files of a worksheet into a folder, which is replaced whole or left as it was."""
    publish(folder, worksheet.files)


def write_places(worksheet: Worksheet) -> None:
    """Keeps the places of the drawing beside the description. Raises CannotWrite."""
    if isinstance(worksheet.drawing, Drawing):
        path = places_file(worksheet.analysis.circuit.source)
        if path is None:
            raise CannotWrite("the description is no file of its own, so that no places can be kept beside it")
        replace_file(path, written_places(worksheet.drawing))


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


def devices_of(analysis: Analysis) -> list[str]:
    """The parts whose numbers tag their quantities."""
    return [p.name for p in analysis.circuit.parts.values() if p.kind in ("bjt", "jfet", "mosfet", "diode", "opamp")]


@dataclass(frozen=True)
class _Page:
    sheet: Sheet
    pdf: bytes | None
    missing: str | None
    html: str


def _signal_path(analysis: Analysis) -> tuple[str, ...]:
    """The nodes of the first gain that was derived stage by stage."""
    return next((of_chain(d.chain) for d in analysis.derivations if d.chain is not None), ())


def _page(
    analysis: Analysis,
    insight: Insight,
    opinion: Words,
    known: dict[str, str],
    pdf: bool,
    drawing: Drawing | str | None,
    paper: Paper,
    small: Mapping[str, Drawing],
) -> _Page:
    """The page set, as HTML and, where that is wanted and TeX is there, as PDF."""
    document = compose(analysis, opinion, known, insight, drawing, small)
    symbols = analysis.network.symbols
    devices = devices_of(analysis)
    html = web.render(document, symbols, devices, live=live_of(analysis, document))
    missing = None
    if pdf:
        try:
            return _Page(*typeset(document, symbols, devices, paper=paper), None, html)
        except ToolMissing as error:
            missing = str(error)
    return _Page(render(document, symbols, devices, paper=paper), None, missing, html)
