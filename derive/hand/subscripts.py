"""What stands in braces: found, and a subscript read as plain letters.

Enters: a line of LaTeX. Leaves: parts of it, or an ExpressionError. Must not know: formulas.
"""

from __future__ import annotations

import re

from derive.hand.commands import NAMED, TEXTS
from derive.hand.signs import NAMES, plain
from derive.hand.tokens import Line, fault_at

_COMMAND = re.compile(r"\\(?:[A-Za-z]+|.|$)")
_BETWEEN = re.compile(r"\\[,;:! ]|[{}\s,.;~()|_]|\\_")


def command_at(text: str, place: int) -> tuple[str, int]:
    """The name of the command at a place, and where it ends."""
    match = _COMMAND.match(text, place)
    assert match is not None, text[place:]
    return match.group()[1:], match.end()


def group_at(line: Line, place: int) -> tuple[str, int]:
    """What stands in the braces that open at a place (spaces aside), and where they end."""
    text, depth = line.text, 0
    start = place + len(text[place:]) - len(text[place:].lstrip())
    if text[start : start + 1] != "{":
        raise fault_at(line, place, "braces are missing here", "write the letters in { }")
    for end in range(start, len(text)):
        depth += (text[end] == "{") - (text[end] == "}")
        if depth == 0:
            return text[start + 1 : end], end + 1
    raise fault_at(line, start + 1, "this brace is not closed", "add }")


def read_script(line: Line, place: int, text: str) -> str:
    """The plain letters and digits of a subscript: ``\\mathrm{m1}`` is m1, ``\\pi 2`` is pi2, ``m,Q1`` is mQ1."""
    out, here = "", 0
    while here < len(text):
        if match := _BETWEEN.match(text, here):
            here = match.end()
            continue
        if text[here] == "\\":
            name, here = command_at(text, here)
            if name in NAMES or name in NAMED:
                out += NAMED.get(name, name)
            elif name == "infty":
                out += "inf"
            elif name not in TEXTS:
                raise fault_at(line, place + 1, f"\\{name[:30]} is not read in a subscript", "use letters and digits")
            continue
        letter = plain(text[here])
        if not re.fullmatch(r"[A-Za-z0-9]+", letter):
            raise fault_at(line, place + 1, f"{text[here]!r} is not read in a subscript", "use letters and digits")
        out, here = out + letter, here + 1
    return out
