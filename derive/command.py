"""The command line: words in, exit status out. Messages are worded by those who raise them.

Enters: arguments. Leaves: files, messages, an exit status (0 done; 1 done, and something claimed does not hold;
2 the description or the command line is wrong; 3 a tool is missing; 70 a check inside the program failed).
Heavy imports happen inside the commands, so that ``derive --help`` is quick.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from derive.errors import DeriveError

if TYPE_CHECKING:
    from derive.again import Again

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Derives the transfer functions and impedances of analogue circuits and writes them as worksheets.",
)
SHEET_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_\-]{0,63}\Z")
NO_CLAIM, WRONG_INPUT = 0, 2


STATUS = (
    "Exit status: 0 done; 1 done, but a stated assumption is false at this bias point, a result by hand does not "
    "hold, or a measurement disagrees; 2 a description or the command "
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
    fresh: Annotated[bool, typer.Option("--fresh", help="Make sheets anew though nothing has changed.")] = False,
    jobs: Annotated[int, typer.Option("--jobs", "-j", min=1, help="How many sheets side by side.")] = 1,
    scheduler: Annotated[
        str, typer.Option("--scheduler", metavar="ADDRESS", help="A Dask scheduler whose workers make the sheets.")
    ] = "",
    watch: Annotated[
        bool, typer.Option("--watch", help="Rebuild worksheet.html whenever FILE is saved, without PDF, until stopped.")
    ] = False,
    drawing: Annotated[bool, typer.Option("--drawing/--no-drawing", help="Whether to draw the circuit.")] = True,
    keep_places: Annotated[
        bool, typer.Option("--keep-places", help="Write the places of parts beside the description (.places.toml).")
    ] = False,
    paper: Annotated[Literal["a4", "letter"], typer.Option("--paper", help="The size of the pages.")] = "a4",
    decimal: Annotated[Literal["point", "comma"], typer.Option("--decimal", help="The sign in numbers.")] = "point",
    summary: Annotated[bool, typer.Option("--summary", help="Besides, the essence on two pages, summary.pdf.")] = False,
) -> None:
    """Derive every question of each description and write its worksheet.

    A sheet from the same description, by the same program and with the same options, is kept as it stands.
    """
    if watch:
        raise typer.Exit(_watch(descriptions, output, drawing))
    from derive.batch import run
    from derive.one_sheet import Wanted

    wanted = Wanted(pdf, opinion, fresh, drawing, keep_places, paper, decimal, summary)
    raise typer.Exit(run(descriptions, output, wanted, typer.echo, _complain, jobs=jobs, scheduler=scheduler))


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
    from derive.errors import Defect, DeriveError

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


@app.command(
    short_help="Tell how a circuit works.",
    epilog="Exit status: 0 told; 2 the description or the command line is wrong; 70 a check inside the program failed.",
)
def explain(
    description: Annotated[Path, typer.Argument(metavar="FILE", help="Circuit description (TOML).")],
    of: Annotated[str | None, typer.Option("--of", metavar="NAME", help="One question alone.")] = None,
) -> None:
    """Tell in sentences which way each node moves, what each device does, and what rules each port."""
    from derive.explain_command import run

    raise typer.Exit(run(description, of, typer.echo, _complain))


@app.command(
    short_help="Make the frames of a video, one step of a derivation at a time.",
    epilog="Exit status: 0 done; 2 the description or the command line is wrong; 3 TeX or poppler-utils is missing; "
    "70 a check inside the program failed and nothing was written.",
)
def frames(
    description: Annotated[Path, typer.Argument(metavar="FILE", help="Circuit description (TOML).")],
    of: Annotated[str | None, typer.Option("--of", metavar="NAME", help="One question alone.")] = None,
    size: Annotated[
        Literal["1080", "2160"], typer.Option("--size", help="Lines: 1920 by 1080, or 3840 by 2160.")
    ] = "1080",
    ground: Annotated[
        Literal["light", "dark", "clear", "clear-dark"],
        typer.Option(
            "--ground", help="Behind the letters; clear: nothing, for dark letters or (clear-dark) light ones."
        ),
    ] = "light",
    output: Annotated[
        Path, typer.Option("--output", "-o", metavar="FOLDER", help="Where the sheet's folder is, which gets frames/.")
    ] = Path("build"),
) -> None:
    """Make numbered pictures that add one step at a time, each with what is said and its equation as SVG."""
    from derive.frames_command import run

    raise typer.Exit(run(description, of, size, ground, output, typer.echo, _complain))


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


def _watch(descriptions: list[Path], output: Path, drawing: bool) -> int:
    """The page of one description, rebuilt whenever it is saved."""
    if len(descriptions) != 1:
        _complain(f"--watch follows one description, and {len(descriptions)} were given")
        return WRONG_INPUT
    from derive.again import Again
    from derive.derivation.analyse import analyse
    from derive.publish import publish
    from derive.watch import PAGE, Watch, follow
    from derive.web.page import bare

    (path,) = descriptions
    folder = output / path.stem
    typer.echo(f"{folder / PAGE} follows {path}; stop with Ctrl-C")
    try:
        watch = Watch(partial(_page, path, drawing, Again(analyse)), bare, partial(publish, folder), _complain)
        follow(path, watch)
    except DeriveError as error:
        _complain(str(error))
        return error.exit_status
    return NO_CLAIM


def _page(path: Path, drawing: bool, again: Again) -> Callable[[str], str]:
    from derive.description.reader import read
    from derive.pipeline import page_of

    return page_of(read(path), drawing=drawing, analyse=again.of)


def _complain(message: str) -> None:
    typer.echo(message, err=True)


def main() -> None:
    """Entry point of the ``derive`` command."""
    app()
