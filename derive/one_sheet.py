"""One description to its folder: what is said of it, and the exit status. Nothing is printed here.

Enters: the path of a description, the folder, what is wanted. Leaves: an Outcome.
A sheet that was made from the same description, by the same program with the same packages and for the same wishes, and
whose files are as they were left, is kept as it stands.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from derive.description.beside import files_named, is_file
from derive.errors import Defect, DeriveError

if TYPE_CHECKING:
    from derive.pipeline import Worksheet

STAMP = "made.json"
"""Beside the files of a sheet: from what it was made, and what was said of it."""
FRAMES = "frames"
"""A folder within, of ``derive frames``; it goes when the sheet is made anew."""
NO_CLAIM, CLAIM_FALSE, TOOL_MISSING = 0, 1, 3
Told = Callable[[str], None]


@dataclass(frozen=True)
class Wanted:
    """``pdf``: whether to typeset; ``opinion``: whether lcapy must confirm; ``fresh``: to make it anew anyhow;
    ``drawing``: whether to draw the circuit; ``keep_places``: whether to write the places beside the description;
    ``summary``: whether to set a PDF of two pages besides."""

    pdf: bool = True
    opinion: bool = True
    fresh: bool = False
    drawing: bool = True
    keep_places: bool = False
    paper: Literal["a4", "letter"] = "a4"
    decimal: Literal["point", "comma"] = "point"
    summary: bool = False


@dataclass(frozen=True)
class Outcome:
    """``files``: what was written, for the terminal; ``said``: complaints, remarks; ``kept``: nothing had changed."""

    path: Path
    files: tuple[str, ...]
    said: tuple[str, ...]
    status: int
    kept: bool = False

    @property
    def failed(self) -> bool:
        """Whether there is no sheet, or not all of it."""
        return self.status not in (NO_CLAIM, CLAIM_FALSE)


def make_sheet(path: Path, folder: Path, wanted: Wanted, told: Told = lambda _: None) -> Outcome:
    """Makes the sheet of a description, or keeps the one that is there. Never raises."""
    try:
        key = _key(path, wanted)
        found = None if wanted.fresh or wanted.keep_places or key is None else _kept(path, folder, key)
        return found if found is not None else _made(path, folder, wanted, key, told)
    except DeriveError as error:
        if isinstance(error, Defect):
            text = f"{path}: a check inside the program failed, so nothing was written: {error}"
            return Outcome(path, (), (text,), error.exit_status)
        return Outcome(path, (), (str(error),), error.exit_status)
    except Exception as error:
        # What nobody foresaw is a defect too: it must not pass for "done, a statement is false".
        text = f"{path}: a fault of this program, so nothing was written: {type(error).__name__}: {error}"
        return Outcome(path, (), (text,), Defect.exit_status)


def _made(path: Path, folder: Path, wanted: Wanted, key: str | None, told: Told) -> Outcome:
    from derive.description.reader import read
    from derive.pipeline import make, write_places
    from derive.publish import publish
    from derive.typeset.paper import Paper

    paper = Paper(wanted.paper, wanted.decimal)
    sheet = make(
        read(path), pdf=wanted.pdf, opinion=wanted.opinion, drawing=wanted.drawing, paper=paper,
        summary=wanted.summary, told=told,
    )  # fmt: skip
    outcome = _outcome(path, folder, sheet)
    files = dict(sheet.files)
    if key is not None and not outcome.failed and all(v.outcome == "confirmed" for v in sheet.second_opinion):
        hashes = {name: _hash(content) for name, content in sorted(files.items())}
        stamp = {"key": key, "status": outcome.status, "said": list(outcome.said), "files": hashes}
        files[STAMP] = (json.dumps(stamp, indent=1, ensure_ascii=False) + "\n").encode()
    publish(folder, files)
    if wanted.keep_places:
        write_places(sheet)
    return outcome


def _outcome(path: Path, folder: Path, sheet: Worksheet) -> Outcome:
    """What is said of a sheet, and its status."""
    from derive.sketch import Missing

    said = [f"no second opinion on {v.name}: {v.why}" for v in sheet.second_opinion if v.outcome != "confirmed"]
    if sheet.something_false:
        said.append(f"{folder.name}: a statement is false at this bias point; the sheet says which")
    if sheet.hand_wrong:
        said.append(f"{folder.name}: a result by hand does not hold; the sheet says which and why")
    if sheet.bench_disagrees:
        said.append(f"{folder.name}: a measurement disagrees with what is predicted; the sheet says by how much")
    said += [f"{folder.name}: {words}" for words in (*sheet.bias_remarks, *sheet.wanted_remarks)]
    if sheet.unstable:
        said.append(f"{folder.name}: the circuit is not stable: poles lie in the right half plane or on the axis")
    if isinstance(sheet.drawing, Missing):
        said.append(f"{folder.name}: the circuit is not drawn: {sheet.drawing.why}")
    claims_false = sheet.something_false or sheet.hand_wrong or sheet.bench_disagrees
    status = CLAIM_FALSE if claims_false else NO_CLAIM
    if sheet.missing is not None:
        said.append(sheet.missing)
        status = TOOL_MISSING
    return Outcome(path, _shown(folder, sheet.files), tuple(said), status)


def _shown(folder: Path, names: object) -> tuple[str, ...]:
    written = "worksheet.pdf" if "worksheet.pdf" in names else "worksheet.tex"  # type: ignore[operator]
    return (str(folder / "worksheet.html"), str(folder / written))


def _kept(path: Path, folder: Path, key: str) -> Outcome | None:
    """The sheet that is there, where it was made from the same and its files are whole."""
    try:
        stamp = json.loads((folder / STAMP).read_text("utf-8"))
        if stamp["key"] != key or {p.name for p in folder.iterdir()} - {FRAMES} != {STAMP, *stamp["files"]}:
            return None
        for name, expected in stamp["files"].items():
            if _hash((folder / name).read_bytes()) != expected:
                return None
        said = tuple(str(words) for words in stamp["said"])
        return Outcome(path, _shown(folder, stamp["files"]), said, int(stamp["status"]), kept=True)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _key(path: Path, wanted: Wanted) -> str | None:
    """A hash of all that a sheet depends on; None where the description cannot be read."""
    try:
        content = path.read_bytes()
        named = {name: _hash((path.parent / name).read_bytes()) for name in files_named(content, path.parent)}
        places = path.with_suffix(".places.toml")
        if is_file(places):
            named[places.name] = _hash(places.read_bytes())
    except OSError:
        return None
    wishes = {k: v for k, v in asdict(wanted).items() if k not in ("fresh", "keep_places")}
    text = json.dumps({"description": _hash(content), "named": named, "wanted": wishes, "by": program()})
    return _hash(text.encode())


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


@lru_cache(maxsize=1)
def program() -> str:
    """A hash of this program's own files and of the versions of the packages that it uses."""
    from derive.versions import versions

    found = hashlib.sha256(json.dumps(versions(), sort_keys=True).encode())
    package = Path(__file__).parent
    for folder in (package, package.parent / "templates"):
        for source in sorted(folder.rglob("*")):
            if source.is_file() and "__pycache__" not in source.parts:
                found.update(str(source.relative_to(package.parent)).encode() + b"\0" + source.read_bytes())
    return found.hexdigest()
