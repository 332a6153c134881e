"""Words for what is not TOML.

Enters: the text and the parser's complaint. Leaves: a DescriptionError with line, fault and remedy.
Must not know: what the keys mean.
"""

from __future__ import annotations

import re

from derive.description.characters import foreign_letter
from derive.description.hints import quote
from derive.errors import DescriptionError

_KEY = re.compile(r"""\s*(?:\[+\s*)?([A-Za-z0-9_."'+-]+)""")
_CURLY = "“”„‟‘’‚‛"
_STRING = re.compile(r""""(?:[^"\\]|\\.)*"|'[^']*'""")
_ENDS = r"[\s=\[\]{},.]"
# A curly quote where a text begins, or where it ends.
_AS_QUOTE = re.compile(rf"[=\[,]\s*[{_CURLY}]|[{_CURLY}]\s*(?:[,\]}}]|$)")


def explain_syntax(name: str, text: str, complaint: str) -> DescriptionError:
    """The complaint of the TOML parser, with its line and what would be right."""
    place = re.search(r"\(at line (\d+), column (\d+)\)", complaint)
    lines = text.split("\n")
    number = int(place.group(1)) if place else _last_line(lines)
    line = lines[min(number, len(lines)) - 1]
    column = int(place.group(2)) if place else 0
    fault = complaint.partition(" (at ")[0]
    what, remedy = _foreign_words(fault, line, column) or _words(fault, line)
    return DescriptionError(name, number, what, remedy)


def _last_line(lines: list[str]) -> int:
    """The last line that is not empty."""
    return next((number for number in range(len(lines), 0, -1) if lines[number - 1].strip()), 1)


def _foreign_words(fault: str, line: str, column: int) -> tuple[str, str] | None:
    """The words for a curly quote or a letter that is not ASCII where TOML has a meaning; None for neither."""
    at = line[column - 1 : column] if column else ""
    plain = _STRING.sub("", line).partition("#")[0]
    stray = [at, *plain] + (_AS_QUOTE.findall(line) if line.count('"') % 2 else [])
    curly = next((mark for piece in stray for mark in piece if mark in _CURLY), None)
    if curly is not None:
        straight = '"' if curly in "“”„‟" else "'"
        return f"{curly} is a curly quote", f"use straight quotes: {straight}"
    if at <= "\x7f":
        return None
    if at.isspace():
        return f"{foreign_letter(at)} stands between the words", "use a plain space"
    if any(words in fault for words in ("after a key", "key part", "Invalid statement", "table declaration")):
        before, after = re.split(_ENDS, line[: column - 1])[-1], re.split(_ENDS, line[column - 1 :])[0]
        what = f"the name {quote(before + after)[1:-1]} holds {foreign_letter(at)}"
        return what, "names use the plain letters A to Z and a to z, and digits"
    return None


def _words(fault: str, line: str) -> tuple[str, str]:
    found = _KEY.match(line)
    key = found.group(1) if found else "a key"
    if "Duplicate inline table key" in fault:
        return f"the key {fault.split('key ')[-1][:40]} is written twice in one table", "keep one"
    if any(words in fault for words in ("Cannot overwrite", "Cannot declare", "Cannot mutate", "Cannot redefine")):
        if re.match(r"\s*\[(question|assume)\]", line):
            return f"[{key}] has single brackets", f"write [[{key}]]"
        return (
            f"the name {key[:40]} is already taken: it is written twice",
            "give each part and each table its own name",
        )
    if "Unescaped" in fault or "hex value" in fault or "scalar value" in fault:
        return "a backslash in double quotes is read as an escape", "use single quotes around LaTeX"
    if "Illegal character" in fault or "invalid character" in fault:
        if "\\n" in fault:
            return "a text is not closed on its line", "close it with the quote that opened it"
        return f"the text holds a control character ({fault.split('character ')[-1][:12]})", (
            "remove it; use single quotes around LaTeX"
        )
    if re.search(r"=\s*[+-]?[0-9][0-9.]*\s*[^\s0-9.,}\]#\-:+_]", line):
        return "a value with a prefix or a unit is not in quotes", 'write it as in "4.7 kΩ"'
    if re.search(r"=\s*[A-Za-zµΩ]", line) and "Invalid value" in fault:
        return "a text is not in quotes", 'write it as in signal = "voltage"'
    if "Expected newline or end of document" in fault:
        return (
            "something stands behind the end of a value",
            "put a text that holds double quotes into single quotes; a comment begins with #",
        )
    if "Unclosed inline table" in fault:
        return (
            "a part's line is not closed by }, or a comma is missing in it",
            "a part stands on one line, in { }, with commas",
        )
    if "Unclosed array" in fault:
        return "a list is not closed by ], or a comma is missing in it", "close it with ]"
    if "Expected '='" in fault:
        return f"= is missing after {key[:40]}", "write key = value"
    if "Invalid initial character" in fault:
        return "a key is expected here", "write key = value; no comma before }"
    return f"this is not TOML: {quote(fault, 100)[1:-1]}", "write key = value, with texts in quotes"
