"""The command line: words in, exit status out. Messages are worded by those who raise them.

Enters: arguments. Leaves: files, messages, an exit status (0 done; 1 done, and something claimed does not hold;
2 the description or the command line is wrong; 3 a tool is missing; 70 a check inside the program failed).
Heavy imports happen inside the commands, so that ``derive --help`` is quick.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from derive.errors import Defect, DeriveError

if TYPE_CHECKING:
    from derive.pipeline import Worksheet

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Derives the transfer functions and impedances of analogue circuits and writes them as worksheets.",
)
SHEET_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_\-]{0,63}\Z")
NO_CLAIM, CLAIM_FALSE, WRONG_INPUT, TOOL_MISSING = 0, 1, 2, 3


STATUS = (
    "Exit status: 0 done; 1 done, but a stated assumption is false at this bias point a result by hand does not "
    "hold or a measurement disagrees; 2 a description or the command "
    "line is wrong; 3 TeX is missing; 70 a check inside the program failed and nothing was written."
)


CHECK_STATUS = (
    "Exit status: 0 exact, or within the tolerance over the band; 1 not; 2 the description, the result or the command "
    "line is wrong; 70 a check inside the program failed."
)


COMPARE_STATUS = (
    "Exit status: 0 done; 1 done, but the option that was chosen misses a criterion; 2 a description or the command "
    "line is wrong; 3 TeX is missing; 70 a check inside the program failed."
)


@app.callback()
def _main() -> None:
    """A description in, a worksheet out."""


@app.command(short_help="Write the worksheet of each description.", epilog=STATUS)
def worksheet(
    descriptions: Annotated[list[Path], typer.Argument(metavar="FILE", help="Circuit descriptions (TOML).")],
    output: Annotated[
        Path, typer.Option("--output", "-o", metavar="FOLDER", help="Where each sheet gets a folder of its own.")
    ] = Path("build"),
    pdf: Annotated[bool, typer.Option("--pdf/--no-pdf", help="Whether to typeset the PDF.")] = True,
    opinion: Annotated[
        bool, typer.Option("--second-opinion/--no-second-opinion", help="Whether lcapy must confirm the answers.")
    ] = True,
) -> None:
    """Derive every question of each description and write its worksheet."""
    status = NO_CLAIM
    folders: dict[Path, Path] = {}
    for path in descriptions:
        folder = output / path.stem
        if folder in folders and folders[folder] != path:
            _complain(f"{path} and {folders[folder]} would both be written to {folder}: rename one")
            status = max(status, WRONG_INPUT)
            continue
        folders[folder] = path
        status = max(status, _one(path, folder, pdf, opinion))
    raise typer.Exit(status)


@app.command(
    short_help="Check algebra done by hand.",
    epilog=CHECK_STATUS,
    # A result may begin with a minus sign, and is no option then.
    context_settings={"ignore_unknown_options": True},
)
def check(
    description: Annotated[Path, typer.Argument(metavar="FILE", help="Circuit description (TOML).")],
    result: Annotated[
        str | None, typer.Argument(metavar="EXPRESSION", help="The result by hand, plain or LaTeX.", show_default=False)
    ] = None,
    of: Annotated[str | None, typer.Option("--of", metavar="NAME", help="The question that it answers.")] = None,
    lines: Annotated[
        Path | None, typer.Option("--lines", metavar="PATH", help="A file with the lines of one derivation.")
    ] = None,
    claims: Annotated[
        Path | None, typer.Option("--claims", metavar="PATH", help="A file with many results: NAME = expression.")
    ] = None,
    within: Annotated[str, typer.Option("--within", metavar="PERCENT", help="Error up to which it passes.")] = "5 %",
) -> None:
    """Check a result by hand against the answer, and say where it went wrong.

    With neither EXPRESSION nor --lines nor --claims the [[hand]] results of the description are checked.
    """
    from derive.hand_check import run

    raise typer.Exit(run(description, result, of, lines, claims, within, typer.echo, _complain))


@app.command(short_help="Set variants, or two descriptions, side by side.", epilog=COMPARE_STATUS)
def compare(
    descriptions: Annotated[
        list[Path], typer.Argument(metavar="FILE [FILE]", help="A description with variants, or two descriptions.")
    ],
    output: Annotated[
        Path, typer.Option("--output", "-o", metavar="FOLDER", help="Where the comparison gets a folder of its own.")
    ] = Path("build"),
    pdf: Annotated[bool, typer.Option("--pdf/--no-pdf", help="Whether to typeset the PDF.")] = True,
) -> None:
    """Derive every variant and write one sheet that sets them side by side."""
    from derive.compare import compare as run

    if len(descriptions) > 2:
        _complain("give one description with variants, or two descriptions")
        raise typer.Exit(WRONG_INPUT)
    try:
        status = run(descriptions, output, pdf, typer.echo, _complain)
    except DeriveError as error:
        _complain(str(error))
        raise typer.Exit(error.exit_status) from None
    except Exception as error:
        _complain(f"a fault of this program, so nothing was written: {type(error).__name__}: {error}")
        raise typer.Exit(Defect.exit_status) from None
    raise typer.Exit(status)


@app.command(short_help="Write a starter description.")
def start(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the new description, without .toml.")],
) -> None:
    """Write a commented starter description, which makes a worksheet as it stands."""
    stem = name.removesuffix(".toml")
    if not SHEET_NAME.match(stem):
        _complain(f"{name!r} cannot be a name: use up to 64 letters, digits, - and _, beginning with a letter or digit")
        raise typer.Exit(WRONG_INPUT)
    path = Path(f"{stem}.toml")
    text = files("derive").joinpath("starter.toml").read_text("utf-8").replace("NAME", stem)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        _complain(f"{path} exists already: choose another name, or move it away")
        raise typer.Exit(WRONG_INPUT) from None
    except OSError as error:
        _complain(f"{path} cannot be written: {error.strerror}")
        raise typer.Exit(WRONG_INPUT) from None
    typer.echo(f"{path} written; next: derive worksheet {path}")


def _one(path: Path, folder: Path, pdf: bool, opinion: bool) -> int:
    """One sheet, from file to folder; its exit status."""
    from derive.description.reader import read
    from derive.pipeline import make, write

    try:
        with _Progress(path.name) as told:
            sheet = make(read(path), pdf=pdf, opinion=opinion, told=told)
            write(sheet, folder)
    except DeriveError as error:
        kind = "a check inside the program failed, so nothing was written: " if isinstance(error, Defect) else ""
        _complain(f"{path}: {kind}{error}" if isinstance(error, Defect) else str(error))
        return error.exit_status
    except Exception as error:
        # What nobody foresaw is a defect too: it must not pass for "done, a statement is false".
        _complain(f"{path}: a fault of this program, so nothing was written: {type(error).__name__}: {error}")
        return Defect.exit_status
    return _report(sheet, folder)


def _report(sheet: Worksheet, folder: Path) -> int:
    written = "worksheet.pdf" if "worksheet.pdf" in sheet.files else "worksheet.tex"
    typer.echo(f"{folder / written}")
    unavailable = [v for v in sheet.second_opinion if v.outcome != "confirmed"]
    for verdict in unavailable:
        _complain(f"no second opinion on {verdict.name}: {verdict.why}")
    if sheet.something_false:
        _complain(f"{folder.name}: a statement is false at this bias point; the sheet says which")
    if sheet.hand_wrong:
        _complain(f"{folder.name}: a result by hand does not hold; the sheet says which and why")
    if sheet.bench_disagrees:
        _complain(f"{folder.name}: a measurement disagrees with what is predicted; the sheet says by how much")
    for words in (*sheet.bias_remarks, *sheet.wanted_remarks):
        _complain(f"{folder.name}: {words}")
    if sheet.missing is not None:
        _complain(sheet.missing)
        return TOOL_MISSING
    return CLAIM_FALSE if sheet.something_false or sheet.hand_wrong or sheet.bench_disagrees else NO_CLAIM


class _Progress:
    """A line on the terminal that says what is being done; nothing where errors go to a file."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.shown = sys.stderr.isatty()

    def __enter__(self) -> Callable[[str], None]:
        if not self.shown:
            return lambda _: None
        from rich.console import Console

        self.status = Console(stderr=True).status(self.name)
        self.status.start()
        return lambda words: self.status.update(f"{self.name}: {words}")

    def __exit__(self, *_: object) -> None:
        if self.shown:
            self.status.stop()


def _complain(message: str) -> None:
    typer.echo(message, err=True)


def main() -> None:
    """Entry point of the ``derive`` command."""
    app()
