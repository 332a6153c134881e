"""Words and algebra of a document as HTML.

Enters: ``Words``, ``Line`` records. Leaves: ``Markup``. Must not know: blocks, pages, circuits.

A line of algebra is laid out by the browser: what is too wide for its column goes on beneath, between terms; and
only what is wider than any column is printed by names, as on paper.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from markupsafe import Markup

from derive.errors import Defect
from derive.expression.tree import Expr, Relation
from derive.spoken import spoken
from derive.typeset.cutting import Abbreviations, Cutter, Token
from derive.typeset.math import Setter
from derive.typeset.pieces import Piece
from derive.typeset.spelling import Spelling
from derive.web.escape import element, joined, text
from derive.web.pen import MATHML
from derive.words import Code, Formula, Line, Node, Reading, Strong, Words

WIDEST = 30.0
"""Em: what cannot be broken and is wider gets a name."""
NARROW = 13.0
"""Em: a wider sum, product or parallel connection may break, on a narrow screen it has to."""
LONG_LEFT = 10.0
"""Em: a longer left side has the line to itself, and its right side follows within it."""
LONG_INLINE = 22.0
"""Em: a longer formula among words may break."""
MARK = re.compile(r"[,.;:)]+")


@dataclass
class Speaker:
    """Renders words in the spelling of a sheet; counts its readings, so that each may be found again.
    """

    spelling: Spelling
    readings: list[Reading] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.names = Abbreviations(self.spelling, pen=MATHML)
        self.display = Setter(self.spelling, "display", MATHML)
        self.inline = Setter(self.spelling, "inline", MATHML)

    def say(self, words: Words) -> Markup:
        """Words as HTML; a mark of punctuation stays on the line of what it follows."""
        pieces: list[Markup] = []
        held = False
        for piece in words:
            mark = MARK.match(piece) if isinstance(piece, str) and held else None
            if mark and isinstance(piece, str):
                pieces[-1] = element("span", pieces[-1] + text(mark.group()), class_="tight")
                piece = piece[mark.end() :]
            # A long formula may break, so it is not held together.
            held = isinstance(piece, Formula) and self.inline.state(piece.expr).width <= LONG_INLINE / 2
            pieces.append(self._piece(piece))
        return joined(pieces)

    def silently(self, words: Words) -> Markup:
        """Words said once more (in the list of contents), whose readings do not count."""
        kept = list(self.readings)
        said = self.say(words)
        self.readings[:] = kept
        return said

    def _piece(self, piece: object) -> Markup:
        match piece:
            case str():
                return text(piece)
            case Formula(expr):
                return self.formula(expr)
            case Reading():
                return self.reading(piece)
            case Node(name):
                return element("span", text(name), class_="node")
            case Code(code):
                return element("code", text(code))
            case Strong(strong):
                return element("strong", text(strong))
        raise Defect(f"a piece of words of unknown kind: {piece!r}")

    def reading(self, reading: Reading) -> Markup:
        self.readings.append(reading)
        return element("span", text(printed(reading)), class_="n", data_n=str(len(self.readings) - 1))

    def formula(self, expr: Expr | Relation) -> Markup:
        piece = self.inline.state(expr)
        if piece.width <= LONG_INLINE or isinstance(expr, Relation):
            return math(piece.ink)
        cutter = Cutter(self.inline, self.names, grain=NARROW)
        runs = self._runs(cutter.tokens(expr, WIDEST))
        return joined([runs, *(self._definition(name, meaning) for name, meaning in cutter.pending)])

    def _definition(self, name: Piece, meaning: Expr) -> Markup:
        return joined([Markup(" "), math(name.ink + MATHML.sign("=")), self._runs(self._tokens(meaning)[0])])

    def algebra(self, lines: tuple[Line, ...]) -> Markup:
        """Lines of algebra, aligned at their signs."""
        rows: list[Markup] = []
        queue: list[tuple[Piece | Expr | None, str, Expr]] = [(line.left, line.sign, line.right) for line in lines]
        while queue:
            left, sign, right = queue.pop(0)
            tokens, pending = self._tokens(right)
            piece = left if isinstance(left, Piece | None) else self.display.set(left)
            if piece is not None and piece.width > LONG_LEFT and not isinstance(left, Piece | None):
                before, more = self._tokens(left)
                whole = joined([self._runs(before), Markup(" "), math(MATHML.sign(sign) + tokens[0].ink),
                                self._runs(tokens[1:], follows=True)])  # fmt: skip
                rows.append(element("div", whole, class_="whole"))
                pending = [*more, *pending]
            else:
                ends = math(piece.ink, display=True) if piece is not None else Markup("")
                rows.append(element("div", ends, class_="left"))
                rows.append(element("div", math(MATHML.sign(sign), display=True), class_="sign"))
                rows.append(element("div", self._runs(tokens), class_="right"))
            queue[0:0] = [(name, "=", meaning) for name, meaning in pending]
        return element("div", joined(rows), class_="lines")

    def _tokens(self, expr: Expr) -> tuple[list[Token], list[tuple[Piece, Expr]]]:
        cutter = Cutter(self.display, self.names, grain=NARROW)
        return cutter.tokens(expr, WIDEST), cutter.pending

    def _runs(self, tokens: list[Token], *, follows: bool = False) -> Markup:
        """Runs between which the browser may break a line: each a formula that begins with its operator."""
        pieces: list[Markup] = []
        for place, token in enumerate(tokens):
            begins = place > 0 or follows
            # A product that is broken shows its sign only at the beginning of a line, which no one knows here.
            run = math((token.lead if begins else "") + token.ink, display=True)
            pieces += [Markup(" " if begins else ""), element("span", run, class_="run")]
        return joined(pieces)


def math(ink: str, *, display: bool = False) -> Markup:
    style = ' displaystyle="true"' if display else ""
    return Markup(f"<math{style}><mrow>{ink}</mrow></math>")


def printed(reading: Reading) -> str:
    """A reading as text: its unit does not part from its number.

    >>> printed(Reading(-4.213 + 1j, "Ω", 3, "magnitude"))
    '4.33\\u202fΩ ∠\\u202f166.6°'
    """
    return spoken((reading,)).replace(" ∠ ", "\v").replace(" ", "\u202f").replace("\v", " ∠\u202f")
