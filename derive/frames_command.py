"""The command ``derive frames``: a description in, a folder of pictures and a script out.

Enters: what the command line says. Leaves: ``<output>/<stem>/frames``, replaced whole; text; an exit status: 0 done,
2 wrong input, 3 a tool is missing, 70 a failed check.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from derive.derivation.analyse import derive_all, prepare
from derive.description.hints import suggest
from derive.description.reader import read
from derive.drawing.records import Drawing
from derive.errors import Defect, DeriveError, DescriptionError
from derive.explain.insight import explanations_of
from derive.frames.files import files_of
from derive.frames.records import Ground, Series, Size
from derive.frames.scenes import frames_of
from derive.one_sheet import FRAMES
from derive.pipeline import devices_of
from derive.publish import publish
from derive.schematic.path import of_chain
from derive.sketch import Missing, sketch

Say = Callable[[str], None]


def run(path: Path, of: str | None, size: Size, ground: Ground, output: Path, say: Say, complain: Say) -> int:
    """Makes the frames; the exit status."""
    try:
        series, remarks = series_of(path, of)
        files = files_of(series, size, ground)
        folder = output / path.stem / FRAMES
        publish(folder, files)
        for remark in remarks:
            complain(f"{path.stem}: {remark}")
        say(f"{folder}: {len(series.frames)} frames")
    except DeriveError as error:
        kind = "a check inside the program failed, so nothing was written: " if isinstance(error, Defect) else ""
        complain(f"{kind}{error}")
        return error.exit_status
    except Exception as error:
        complain(f"{path}: a fault of this program, so nothing was written: {type(error).__name__}: {error}")
        return Defect.exit_status
    return 0


def series_of(path: Path, of: str | None) -> tuple[Series, list[str]]:
    """The frames of a description, and what is to be said of them. Raises DescriptionError, Defect."""
    circuit = read(path)
    names = [question.name for question in circuit.questions]
    if of is not None and of not in names:
        raise DescriptionError(str(path), None, f"there is no question {of}", suggest(of, names, "question"))
    prepared = prepare(circuit)
    analysis = derive_all(prepared, lambda _: None)
    way = next((of_chain(d.chain) for d in analysis.derivations if d.chain is not None), ())
    drawn = sketch(circuit, analysis.bias, way)
    drawing = drawn if isinstance(drawn, Drawing) else None
    explained = {found.question.name: found for found in explanations_of(prepared)}
    frames = [
        frame
        for d in analysis.derivations
        if of in (None, d.question.name)
        for frame in frames_of(d, analysis, explained.get(d.question.name), drawing)
    ]
    if not frames:
        what = f"the answer to {of} is no derivation" if of else "no question has a derivation"
        raise DescriptionError(str(path), None, f"{what} that could be shown in frames", "see derive worksheet")
    remarks = [f"the circuit is not drawn: {drawn.why}"] if isinstance(drawn, Missing) else []
    symbols, devices = tuple(analysis.network.symbols), tuple(devices_of(analysis))
    return Series(circuit.about.title, tuple(frames), symbols, devices), remarks
