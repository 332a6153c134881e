"""The command ``derive check``: files and options in, messages and an exit status out.

Enters: what the command line says. Leaves: an exit status: 0 exact or within the tolerance, 1 not, 2 wrong input.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from derive.check import Checker, table, told
from derive.description.reader import read
from derive.description.values import read_quantity
from derive.errors import Defect, DeriveError, ExpressionError

HOLDS, DOES_NOT, WRONG_INPUT = 0, 1, 2
LONGEST = 200_000
"""Bytes of a file of lines or claims."""
Say = Callable[[str], None]


class Misused(DeriveError):
    """The options do not fit together."""


def run(
    path: Path,
    result: str | None,
    of: str | None,
    lines: Path | None,
    claims: Path | None,
    within: str,
    say: Say,
    complain: Say,
) -> int:
    """Checks and tells; the exit status."""
    try:
        tolerance = _tolerance(within)
        _fit(result, of, lines, claims)
        checker = Checker(read(path))
        if result is None and lines is None:
            text = None if claims is None else _text(claims)
            checked = checker.check_description() if text is None else checker.check_claims(text, tolerance)
            if not checked:
                raise Misused(f"{claims or path} holds no result by hand")
            say(table(checked))
            if any(each.judged is None for each in checked):
                return WRONG_INPUT
            return HOLDS if all(each.judged is not None and each.judged.holds for each in checked) else DOES_NOT
        assert of is not None
        judged = checker.check(of, _text(lines) if result is None and lines is not None else str(result), tolerance)
        say(told(judged))
        return HOLDS if judged.holds else DOES_NOT
    except ExpressionError as error:
        place = f"column {error.column}: " if error.column else ""
        complain(f"{lines or claims or 'the result'}: {place}{error}")
        return WRONG_INPUT
    except DeriveError as error:
        kind = "a check inside the program failed: " if isinstance(error, Defect) else ""
        complain(f"{kind}{error}")
        return error.exit_status
    except Exception as error:
        # What nobody foresaw must not pass for "checked, and wrong".
        complain(f"{path}: a fault of this program: {type(error).__name__}: {error}")
        return Defect.exit_status


def _fit(result: str | None, of: str | None, lines: Path | None, claims: Path | None) -> None:
    given = [x for x in (result, lines, claims) if x is not None]
    if len(given) > 1:
        raise Misused("give one of EXPRESSION, --lines and --claims")
    if (result is not None or lines is not None) and of is None:
        raise Misused("say which question it answers: --of NAME")
    if result is None and lines is None and of is not None:
        raise Misused(f"say what the result about {of} is: an EXPRESSION, or --lines PATH")


def _tolerance(text: str) -> float:
    """The tolerance as a fraction: 5 % or 0.05."""
    from derive.description.values import WrongValue

    try:
        value = float(read_quantity(text, "1", "fraction").value)
    except WrongValue as error:
        raise Misused(f"--within {text}: {error}") from None
    if not 0 < value <= 1:
        raise Misused(f"--within {text}: write a percentage between 0 and 100, such as 5 %")
    return value


def _text(path: Path) -> str:
    try:
        data = path.read_bytes()
        if len(data) > LONGEST:
            raise Misused(f"{path} is longer than {LONGEST} bytes")
        return data.decode("utf-8-sig")
    except OSError as error:
        raise Misused(f"{path} cannot be read: {error.strerror}") from None
    except UnicodeDecodeError:
        raise Misused(f"{path} is not UTF-8 text") from None
