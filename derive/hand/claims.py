"""Which of the statements define a name, in which order they can be read, and which one is the result.

Enters: statements. Leaves: the definitions, each after those that it uses, and the chain of the result; or an
ExpressionError. Must not know: trees, units.

The result is what no other statement uses. Where several are not used, it is the one that is named like a question
or has no name; the others are refused as never used.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from derive.expression.dimension import VARIABLES
from derive.expression.limits import LONGEST_NAME
from derive.hand.names import Names
from derive.hand.statements import Statement
from derive.hand.tokens import Token, fault

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:_[A-Za-z0-9]+)*")


@dataclass(frozen=True)
class Side:
    """One side of a chain: its sign, its tokens, and the line that it begins on."""

    sign: str
    tokens: tuple[Token, ...]


@dataclass(frozen=True)
class Claim:
    """``word``: the name that is given, None where there is only a formula. ``name``: the same in plain letters."""

    word: Token | None
    name: str
    sides: tuple[Side, ...]

    @property
    def place(self) -> Token:
        return self.word or self.sides[0].tokens[0]


@dataclass(frozen=True)
class Claims:
    target: str | None
    definitions: tuple[Claim, ...]
    chain: Claim


def order(statements: list[Statement], names: Names) -> Claims:
    """The definitions in an order in which they can be read, and the result. Tells ``names`` what is defined."""
    claims: list[Claim] = []
    for statement in statements:
        claim = _claim(statement)
        if claims and claim.word and claims[-1].word and claims[-1].word.key == claim.word.key:
            # The name written anew on the next line goes on with the chain.
            claims[-1] = Claim(claims[-1].word, claims[-1].name, (*claims[-1].sides, *claim.sides))
        else:
            claims.append(claim)
    for claim in claims:
        if claim.word:
            _check_name(claim, claims, names)
    names.definitions = {claim.word.key: claim.name for claim in claims if claim.word}
    uses = {id(claim): _used(claim, names) for claim in claims}
    chain = _result(claims, uses, names)
    target = None if chain.word is None else names.answer(chain.word) or chain.name
    return Claims(target, tuple(_sorted(chain, claims, uses)), chain)


def _claim(statement: Statement) -> Claim:
    head = statement.head
    sides = tuple(Side(sign.value, tuple(tokens)) for sign, tokens in statement.sides)
    if sides and head and head[0].kind == "WORD" and (len(head) == 1 or _is_argument(head[1:])):
        return Claim(head[0], head[0].value, sides)
    if sides and [token.kind for token in head] == ["LBAR", "WORD", "RBAR"]:
        what = f"{head[0].text}{head[1].text}{head[2].text} is a magnitude"
        raise fault(head[0], what, f"write {head[1].text} itself, in s")
    return Claim(None, "", (Side("=", tuple(head)), *sides) if head else sides)


def _is_argument(tokens: list[Token]) -> bool:
    """(s), (jω) or (f) after a name."""
    kinds = [token.kind for token in tokens]
    words = "".join(token.key for token in tokens if token.kind == "WORD")
    in_brackets = kinds[:1] == ["OPEN"] and kinds[-1:] == ["CLOSE"] and set(kinds[1:-1]) == {"WORD"}
    return in_brackets and words in ("s", "jw", "f", "w")


def _check_name(claim: Claim, claims: list[Claim], names: Names) -> None:
    word = claim.word
    assert word is not None
    if word.key in VARIABLES or word.key == "j":
        raise fault(word, f"{word.text} has a meaning of its own in formulas", "give it another name")
    symbol = names.symbol(word.key)
    if symbol is not None and names.answer(word) is None:
        remedy = "give the definition another name" if len(claims) > 1 else "write the name of the question to the left"
        raise fault(word, f"{word.text} is a symbol of the circuit already ({symbol})", remedy)
    if not _NAME.fullmatch(claim.name) or len(claim.name) > LONGEST_NAME:
        raise fault(word, f"{word.text[:40]} is no name for a result", "use letters and digits, as in Rx or R_x")
    for other in claims:
        if other is not claim and other.word and other.word.key == word.key:
            second = max(claim, other, key=lambda each: (each.place.line.number, each.place.column))
            raise fault(second.place, f"{word.text} is defined twice", "give the second another name")


def _used(claim: Claim, names: Names) -> set[str]:
    """The definitions that a claim uses, by their letters."""
    words = (token for side in claim.sides for token in side.tokens if token.kind == "WORD")
    atoms = (meaning for word in words for _, meaning in names.resolve(word))
    return {meaning.name for meaning in atoms if hasattr(meaning, "name") and meaning.name in names.definitions}


def _result(claims: list[Claim], uses: dict[int, set[str]], names: Names) -> Claim:
    def is_unused(claim: Claim) -> bool:
        return not any(claim.word and claim.word.key in uses[id(other)] for other in claims if other is not claim)

    unused = [claim for claim in claims if is_unused(claim)]
    if not unused:
        raise fault(claims[-1].place, f"{claims[-1].name} is defined through itself", "write it in symbols")
    named = [claim for claim in unused if claim.word is None or names.answer(claim.word)]
    result = named[-1] if named else unused[-1]
    for claim in unused:
        if claim is result:
            continue
        if claim.word is None or names.answer(claim.word):
            raise fault(claim.place, "this is a second result", "check one result at a time")
        raise fault(claim.place, f"{claim.place.text} is defined and never used", "use it, or leave it out")
    return result


def _sorted(chain: Claim, claims: list[Claim], uses: dict[int, set[str]]) -> list[Claim]:
    """The definitions, each after those that it uses."""
    waiting = [claim for claim in claims if claim is not chain]
    done: set[str] = set()
    found: list[Claim] = []
    own = chain.word.key if chain.word else ""
    for claim in claims:
        if (claim.word and claim.word.key in uses[id(claim)]) or (own and own in uses[id(claim)]):
            raise fault(claim.place, f"{claim.name or 'this'} is defined through itself", "write it in symbols")
    while waiting:
        ready = [claim for claim in waiting if uses[id(claim)] <= done]
        if not ready:
            raise fault(waiting[0].place, f"{waiting[0].name} is defined through itself", "write it in symbols")
        for claim in ready:
            assert claim.word is not None
            done.add(claim.word.key)
        found += ready
        waiting = [claim for claim in waiting if claim not in ready]
    return found
