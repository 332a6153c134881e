"""A line of LaTeX as tokens.

Enters: a line with commands or braces (``\\frac{R_f}{R_e}``). Leaves: its tokens, or an ExpressionError.
Must not know: the circuit, but for a test of whether a name is known; how formulas are built.

A subscript without braces holds one character, as in TeX, unless the longer name is known (``R_load``).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from derive.hand import plain
from derive.hand.commands import (
    BARS,
    BRACKETS,
    ENVIRONMENTS,
    FUNCTIONS,
    NAMED,
    OPERATORS,
    REFUSED,
    SIZES,
    SKIPPED,
    TEXTS,
)
from derive.hand.signs import FUNCTIONS as FUNCTION_WORDS
from derive.hand.signs import GREEK, SEPARATING, is_letter
from derive.hand.subscripts import command_at, group_at, read_script
from derive.hand.tokens import Line, Piece, Token, fault_at

_GROUPED = re.compile(r"(\d{1,3})((?:(?:\\,|\{,\})\d{3})+)(?!\d)", re.ASCII)
_FRAMED = re.compile(
    r"\\math(?:bin|rel|op)\s*\{\s*(?:\\\||\\parallel|\\Vert|\|\||//|/(?:\\!|\\mkern-?\d+mu)+/)\s*\}", re.ASCII
)
_SLASHES = re.compile(r"/(?:\\!|\\mkern-?\d+mu\s*)+/", re.ASCII)
_KERN = re.compile(r"\\[mh]?(?:kern|skip|space\*?)\s*(?:\{[^{}]*\}|-?[\d.]+\s*[a-z]{2})", re.ASCII)
_BROKEN = re.compile(r"\\\\\*?(?:\s*\[-?[\d.]+\s*[a-z]{2}\])?", re.ASCII)
_TAGGED = re.compile(r"\\(?:label|tag)\*?\s*\{[^{}]*\}")


def scan_latex(line: Line, knows: Callable[[str], bool]) -> list[Token]:
    """The tokens of a line; ``%`` and ``#`` begin a comment. ``knows``: whether a word is a symbol."""
    return _Scanner(line, knows).run()


@dataclass
class _Scanner:
    line: Line
    knows: Callable[[str], bool]
    place: int = 0
    found: list[Token] = field(default_factory=list)

    @property
    def rest(self) -> str:
        return self.line.text[self.place : self.place + 1]

    def run(self) -> list[Token]:
        text = self.line.text
        while self.place < len(text):
            character = text[self.place]
            if character in "%#":
                break
            if character.isspace() or character in "&~$":
                self.place += 1
            elif self._framed():
                continue
            elif character == "\\":
                self._command()
            elif character in "{}":
                self._add("LBRACE" if character == "{" else "RBRACE", 1)
            elif is_letter(character):
                self._word(self.place, *self._letters())
            else:
                self._extend(plain.one(self.line, self.place))
        return self.found

    def _add(self, kind: str, length: int, value: str = "") -> None:
        text = self.line.text[self.place : self.place + length]
        self._extend([Token(kind, text, self.line, self.place + 1, value)])

    def _extend(self, tokens: list[Token]) -> None:
        self.found += tokens
        self.place = tokens[-1].column - 1 + len(tokens[-1].text)

    def _framed(self) -> bool:
        """What is matched whole: parallel signs put together from others, grouped digits, space of a stated size."""
        text = self.line.text
        for pattern in (_FRAMED, _SLASHES):
            if match := pattern.match(text, self.place):
                self._add("BESIDE", len(match.group()), "//" if "/" in match.group() else "||")
                return True
        if match := _GROUPED.match(text, self.place):
            self._add("NUMBER", len(match.group()), re.sub(r"\D", "", match.group()))
            return True
        if match := _BROKEN.match(text, self.place):
            self._add("NEWLINE", len(match.group()))
            return True
        if match := _KERN.match(text, self.place) or _TAGGED.match(text, self.place):
            self.place = match.end()
            return True
        return False

    def _command(self) -> None:
        name, end = command_at(self.line.text, self.place)
        length = end - self.place
        if name in OPERATORS:
            self._add(OPERATORS[name][0], length, OPERATORS[name][1])
        elif name in NAMED or name in GREEK.values():
            self._word(self.place, end, [Piece(self.line.text[self.place : end], NAMED.get(name, name))])
        elif name in TEXTS:
            self._text(name, end)
        elif name in FUNCTIONS:
            self._function(name, end)
        elif name in SIZES:
            self.place = end
            self._delimiter(SIZES[name])
        elif name in BRACKETS or name in BARS:
            self._add(BRACKETS.get(name) or BARS[name], length)
        elif name in SKIPPED:
            self.place = end
        elif name in ("begin", "end"):
            self._environment(end)
        else:
            unknown = (f"\\{name[:30]} is not read here", "write the formula in names, signs and \\frac")
            what, remedy = REFUSED.get(name, unknown)
            raise fault_at(self.line, self.place + 1, what, remedy)

    def _environment(self, end: int) -> None:
        kind = "BEGIN" if self.line.text.startswith("\\begin", self.place) else "END"
        inner, after = group_at(self.line, end)
        if inner.strip("* ") not in ENVIRONMENTS:
            raise fault_at(self.line, self.place + 1, f"the environment {inner[:30]} is not read here", "use align")
        if kind == "BEGIN" and inner == "array":
            _, after = group_at(self.line, after)
        self._add(kind, after - self.place)

    def _delimiter(self, side: str) -> None:
        """A bar after \\left or \\right is one of a magnitude, a point is no bracket at all."""
        while self.rest == " ":
            self.place += 1
        if self.rest == ".":
            self.place += 1
        elif self.rest == "|" and side:
            self._add(side, 1)

    def _function(self, name: str, end: int) -> None:
        if name in ("sqrt", "frac") or name.endswith("frac"):
            if name == "sqrt" and self.line.text[end:].lstrip().startswith("["):
                raise fault_at(self.line, self.place + 1, "only square roots are read", "write a power or \\sqrt{…}")
            self._add(*(("FUNC", end - self.place, "sqrt") if name == "sqrt" else ("FRAC", end - self.place)))
            for _ in range(1 if name == "sqrt" else 2):
                self._single()
            return
        based = re.compile(r"\s*_\s*(?:\{\s*10\s*\}|10)").match(self.line.text, end)
        if name == "log" and not based:
            raise fault_at(self.line, self.place + 1, "the base of this logarithm is not said", "write \\log_{10}(…)")
        self._add("FUNC", (based.end() if based else end) - self.place, "log10")

    def _single(self) -> None:
        """A digit as an argument without braces, as in \\frac12; braces are added around it."""
        match = re.compile(r"\s*(\d)", re.ASCII).match(self.line.text, self.place)
        if match:
            place = match.start(1)
            digit = Token("NUMBER", match[1], self.line, place + 1, match[1])
            self._extend([Token("LBRACE", "", self.line, place + 1), digit, Token("RBRACE", "", self.line, place + 2)])

    def _text(self, name: str, end: int) -> None:
        """\\mathrm{load}, \\text{where}: letters in braces."""
        inner, after = group_at(self.line, end)
        if inner.strip(" .:").lower() in SEPARATING or not inner.strip():
            if inner.strip():
                self._add("SEPARATOR", after - self.place, inner.strip(" .:"))
            self.place = after
            return
        if inner.strip() in ("sqrt", "log10", "abs"):
            self._add("FUNC", after - self.place, inner.strip())
            return
        if not inner.strip()[0].isalpha():
            what = f"\\{name}{{{inner[:20]}}} is not read here"
            raise fault_at(self.line, self.place + 1, what, "write names and signs")
        plain_name = read_script(self.line, self.place, inner)
        self._word(self.place, after, [Piece(self.line.text[self.place : after], plain_name)])

    def _letters(self) -> tuple[int, list[Piece]]:
        """Where letters that stand together end, and each as a piece."""
        text, start = self.line.text, self.place
        match = re.compile(r"[A-Za-z][A-Za-z0-9]*").match(text, start)
        if match and not match.group().isalpha() and self.knows(match.group()):
            pieces = [Piece(match.group(), match.group())]
        else:
            run = re.compile(r"[A-Za-z]+").match(text, start)
            letters = run.group() if run else text[start]
            pieces = [Piece(letter, GREEK.get(letter, letter)) for letter in letters]
        return start + sum(len(piece.written) for piece in pieces), pieces

    def _word(self, start: int, end: int, pieces: list[Piece]) -> None:
        """The word whose letters stand from ``start`` to ``end``: digits and a subscript belong to the last."""
        text = self.line.text
        whole = "".join(piece.key for piece in pieces)
        if whole in FUNCTION_WORDS or whole in SEPARATING:
            self._extend([plain.word(self.line, start, whole)])
            return
        while end < len(text) and text[end] in "0123456789":
            end += 1
        digits = text[start:end].removeprefix("".join(piece.written for piece in pieces))
        script, after = self._script(end, whole + digits)
        last = pieces[-1]
        pieces[-1] = Piece(last.written + text[end - len(digits) : after], last.key + digits + script)
        name = whole + digits + ("_" + script if script else "")
        self._extend([Token("WORD", text[start:after], self.line, start + 1, name, tuple(pieces))])

    def _script(self, place: int, name: str) -> tuple[str, int]:
        """The subscript at a place in plain letters, and where it ends."""
        text = self.line.text
        match = re.compile(r"\s*_\s*").match(text, place)
        if not match:
            return "", place
        place = match.end()
        if text[place : place + 1] == "{":
            inner, after = group_at(self.line, place)
            script = read_script(self.line, place, inner)
        elif text[place : place + 1] == "\\":
            command, after = command_at(text, place)
            if command in TEXTS:
                _, after = group_at(self.line, after)
            script = read_script(self.line, place, text[place:after])
        else:
            long = re.compile(r"[A-Za-z0-9]+").match(text, place)
            short = re.compile(r"[0-9]+|[A-Za-z\u0370-\u03ff]").match(text, place)
            if short is None:
                raise fault_at(self.line, place, "a subscript is missing here", "write it as in R_1")
            taken = long if long and self.knows(name + "_" + long.group()) else short
            script, after = read_script(self.line, place, taken.group()), taken.end()
        digits = re.compile(r"\d*", re.ASCII).match(text, after)
        end = digits.end() if digits else after
        return script + text[after:end], end
