"""What a word stands for: a symbol of the circuit, a variable, a definition, or several of these side by side.

Enters: words, the circuit's symbols, aliases, the names that the author defines. Leaves: their meaning, or an
ExpressionError that says what may be meant. Must not know: the structure of formulas.

Exactly as written comes first, then without underscores, then without regard to case and in the trade's spelling, and
at last as a product of several (sC1). Whatever leaves a choice is refused.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from derive.description.hints import nearest
from derive.errors import ExpressionError
from derive.expression.dimension import VARIABLES
from derive.expression.limits import LONGEST_NAME
from derive.expression.tree import Expr, Name, Sym
from derive.hand import trade
from derive.hand.imaginary import J
from derive.hand.plain import VOLTAGES
from derive.hand.tokens import Piece, Token, fault, key_of, one_omega

_MOST_PIECES = 40
Atom = tuple[str, Expr]
"""How a symbol is written, and what it stands for."""


@dataclass
class Names:
    """The names that one text may use. ``definitions``: the author's, by their letters and digits."""

    units: Mapping[str, str]
    aliases: Mapping[str, str]
    answers: Collection[str]
    definitions: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._by_key: dict[str, list[str]] = defaultdict(list)
        self._by_lower: dict[str, list[str]] = defaultdict(list)
        for name in self.units:
            self._by_key[_key(name)].append(name)
            self._by_lower[_key(name).lower()].append(name)
        self._aliases = {_key(alias): target for alias, target in self.aliases.items()}

    def knows(self, text: str) -> bool:
        """Whether a word is a symbol or an alias, underscores and case aside."""
        return _key(text) in self._aliases or _key(text).lower() in self._by_lower

    def symbol(self, key: str) -> str | None:
        """The symbol that a definition of this name would hide."""
        return next(iter(self._by_key.get(key, ())), None) or self._aliases.get(key)

    def answer(self, token: Token) -> str | None:
        """The question that a word names."""
        for fold in (_key, lambda name: _key(name).lower()):
            found = [name for name in self.answers if fold(name) == fold(token.key)]
            if len(found) == 1:
                return found[0]
        return None

    def resolve(self, token: Token) -> tuple[Atom, ...]:
        """The symbols that a word stands for, in its order. Raises ExpressionError."""
        certain = self._certain(token.text, token.key)
        if certain is not None:
            return ((_spelt(token.text, certain), certain),)
        if len(token.text) > 3 * LONGEST_NAME or len(token.pieces) > _MOST_PIECES:
            raise fault(token, f"the name {token.text[:20]}… is too long", "write signs between names")
        self._refuse_small_emitter(token)
        likely = self._likely(token.key)
        parts = self._splits(token.pieces)
        if len(likely) == 1 and not parts:
            return ((token.text, Sym(likely[0])),)
        if len(parts) == 1 and not likely:
            return parts[0]
        if likely or parts:
            shown = [*likely, *("·".join(written for written, _ in split) for split in parts)]
            raise fault(token, f"{token.text}: did you mean {_or(shown)}?", self._choose(token, likely))
        raise self._unknown(token)

    def _certain(self, text: str, key: str) -> Expr | None:
        """What the word means where nothing is guessed."""
        if key in self.definitions:
            return Name(key)
        if text in self.units:
            return Sym(text)
        if key in self._aliases:
            return Sym(self._aliases[key])
        if key in VARIABLES or key == "j":
            return Sym(key)
        found = self._by_key.get(key, [])
        return Sym(found[0]) if len(found) == 1 else None

    def _likely(self, key: str) -> list[str]:
        found = [*self._by_key.get(key, []), *self._by_lower.get(key.lower(), []), *trade.candidates(key, self.units)]
        return list(dict.fromkeys(found))

    def _splits(self, pieces: tuple[Piece, ...]) -> list[tuple[Atom, ...]]:
        """The ways (two at most) to read a word as names side by side, each beyond doubt by itself."""
        ways: list[list[tuple[Atom, ...]]] = [[()]]
        for end in range(1, len(pieces) + 1):
            here: list[tuple[Atom, ...]] = []
            for start in range(end):
                if (start, end) == (0, len(pieces)) or not ways[start]:
                    continue
                key = key_of(pieces[start:end])
                meaning = self._certain("", key) or self._only_trade(key)
                if meaning is not None:
                    written = "".join(piece.written for piece in pieces[start:end])
                    here += [(*way, (_spelt(written, meaning), meaning)) for way in ways[start]]
            ways.append(here[:2])
        return [way for way in ways[-1] if not _letters_by_chance(way)]

    def _only_trade(self, key: str) -> Expr | None:
        found = trade.candidates(key, self.units) if len(key) > 1 else []
        return Sym(found[0]) if len(found) == 1 else None

    def _refuse_small_emitter(self, token: Token) -> None:
        """r_e is the trade's 1/gm, and never silently the resistor Re."""
        key = token.key
        if not re.fullmatch(r"re(?:Q?[0-9]+[A-Z]?)?", key):
            return
        slopes = trade.candidates("gm" + key[2:], self.units) or trade.alike("gm", self.units)
        if not slopes:
            return
        parts = self._by_lower.get(key.lower(), [])
        meant = _or([*(f"1/{slope}" for slope in slopes[:4]), *parts])
        remedy = f"write it so, or define {token.value} = 1/{slopes[0]} on a line of its own"
        raise fault(token, f"{token.text} is not a symbol here: {meant}?", remedy)

    def _choose(self, token: Token, likely: list[str]) -> str:
        if not likely:
            return "write signs between the names"
        alias = token.value if token.value.isascii() else token.key
        return f'write one of them, or say {alias} = "{likely[0]}" under [alias]'

    def _unknown(self, token: Token) -> ExpressionError:
        answer = self.answer(token)
        if answer is not None:
            what = f"{token.text} is the name of a question, not of a symbol"
            return fault(token, what, "write it in symbols, or define it on a line of its own")
        what = f"{token.text[:40]} is not a symbol of this circuit"
        alike = trade.alike(token.key, self.units)
        if alike:
            return fault(token, f"{token.text}: did you mean {_or(alike)}?", self._choose(token, alike))
        quantity, tag = trade.split(token.key)
        if quantity is not None and re.fullmatch(r"(?:[a-z]?[0-9]+[a-z]?)?", tag):
            remedy = "state it with the device, or leave it out"
            return fault(token, f"{what}: no device here has {trade.SPELLINGS[quantity][0]}", remedy)
        lower = token.key.lower()
        if re.fullmatch(r"vt|i[cde][0-9q]*", lower) and token.key[0].isupper():
            return fault(token, what, "write gm for I/VT: the bias point is in the symbols already")
        if lower[:1] in "vi":
            return fault(token, what, VOLTAGES)
        near = nearest(token.key, [*self.units, *self.aliases, *self.definitions.values()])
        if near is not None:
            remedy = f"write {near}, or define {token.value[:40]} on a line of its own"
            return fault(token, f"{what}: did you mean {near}?", remedy)
        names = list(self.units)
        shown = ", ".join(names[:8]) + ("…" if len(names) > 8 else "")
        return fault(token, what, f"the symbols are {shown}" if names else "this circuit has no symbols")


def _key(text: str) -> str:
    return one_omega(text.replace("_", ""))


def _spelt(written: str, meaning: Expr) -> str:
    """How an atom is called in messages: variables by their one name."""
    return meaning.name if isinstance(meaning, Sym) and (meaning.name in VARIABLES or meaning == J) else written


def _letters_by_chance(way: tuple[Atom, ...]) -> bool:
    """Whether a word falls into s and f alone, such as fs, which is more likely a name of its own."""
    return all(meaning in (Sym("s"), Sym("f")) for _, meaning in way)


def _or(names: list[str]) -> str:
    shown = names[:6]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} or {shown[-1]}"
