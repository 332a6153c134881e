"""The command ``derive explain``: a file in, sentences and an exit status out.

Enters: what the command line says. Leaves: text; an exit status: 0 told, 2 wrong input, 70 a failed check.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from textwrap import fill

from derive.derivation.analyse import prepare
from derive.description.hints import suggest
from derive.description.reader import read
from derive.errors import Defect, DeriveError, DescriptionError
from derive.explain.loop_survey import survey
from derive.explain.story import story
from derive.spoken import spoken
from derive.tale import alarms, tale

WIDTH = 100
Say = Callable[[str], None]


def run(path: Path, of: str | None, say: Say, complain: Say) -> int:
    """Tells how the circuit works; the exit status."""
    try:
        circuit = read(path)
        names = [question.name for question in circuit.questions]
        if of is not None and of not in names:
            raise DescriptionError(str(path), None, f"there is no question {of}", suggest(of, names, "question"))
        prepared = prepare(circuit)
        say(circuit.about.title)
        surveyed = survey(prepared, wanted=(), formulas=False)
        for words in alarms(surveyed):
            say(fill(f"Attention. {spoken(words)}", WIDTH))
        for chapter in story(prepared, of) if of is not None else (*story(prepared), *tale(prepared, surveyed)):
            say(f"\n{chapter.title}")
            for sentence in chapter.sentences:
                say(fill(spoken(sentence), WIDTH, initial_indent="  ", subsequent_indent="  ", break_long_words=False))
    except DeriveError as error:
        kind = "a check inside the program failed: " if isinstance(error, Defect) else ""
        complain(f"{kind}{error}")
        return error.exit_status
    except BrokenPipeError:
        # Whoever read along has read enough.
        return 0
    except Exception as error:
        complain(f"{path}: a fault of this program: {type(error).__name__}: {error}")
        return Defect.exit_status
    return 0
