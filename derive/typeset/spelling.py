"""How a symbol is spelt in mathematics: one ``Spelling`` for a sheet, hence everywhere the same.

Enters: the names of the sheet's symbols, devices, nodes and questions. Leaves: ``Spelt`` symbols (a base
letter and a subscript), with their widths. Must not know: circuits, values, pages.

Names pass a whitelist before they are taken apart; whatever is not a name is a defect, for the description
was checked long before. Two names never share a spelling: where the short forms would meet (``Cj_D1`` and
a capacitor ``Cj1``), the longer forms are taken.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from derive.errors import Defect
from derive.expression.tree import Name, Sym, Volt
from derive.typeset.glyphs import Spelt, upright
from derive.typeset.nomenclature import NAME, NODE, VARIABLES, node_forms, question_forms, symbol_forms

LONGEST = 28
"""A longer name is printed shortened, with its place in the list of names, so that it fits a column."""


@dataclass(frozen=True)
class Spelling:
    """The spelling of every symbol of one sheet."""

    symbols: Mapping[str, Spelt]
    nodes: Mapping[str, Spelt]
    names: Mapping[str, Spelt]

    @classmethod
    def of(
        cls,
        symbols: Iterable[str] = (),
        devices: Iterable[str] = (),
        nodes: Iterable[str] = (),
        names: Iterable[str] = (),
        words: Iterable[str] = (),
    ) -> Spelling:
        """Spells all names of a sheet.

        ``symbols``: names of symbols (``R1``, ``gm_Q1``); ``devices``: names of parts whose trailing numbers
        tag their quantities (``Q1``, ``D1``); ``nodes``: nodes and pins; ``names``: names of questions and of
        introduced coefficients; ``words``: symbols to be set whole and upright. Raises Defect for a text
        that is not a name.

        >>> sheet = Spelling.of(["Rload", "gm_Q1", "rpi_Q1"], ["Q1"])
        >>> [sheet.symbols[name].latex for name in ("Rload", "gm_Q1", "rpi_Q1")]
        ['R_{\\\\mathrm{load}}', 'g_{\\\\mathrm{m1}}', 'r_{\\\\pi 1}']
        """
        tags = _tags(devices)
        whole = frozenset(words)
        drafts: dict[tuple[str, str], tuple[Spelt, ...]] = {}
        for name in sorted(set(symbols)):
            drafts["symbol", name] = symbol_forms(_checked(name, NAME), tags, whole)
        for name in sorted(set(nodes)):
            drafts["node", name] = node_forms(_checked(name, NODE))
        for name in sorted(set(names)):
            drafts["name", name] = question_forms(_checked(name, NAME))
        chosen = _choose(drafts)
        tables: dict[str, dict[str, Spelt]] = {"symbol": {}, "node": {}, "name": {}}
        for (kind, name), spelt in chosen.items():
            tables[kind][name] = spelt
        return cls(*(MappingProxyType(tables[kind]) for kind in ("symbol", "node", "name")))

    def spell(self, atom: Sym | Volt | Name) -> Spelt:
        """The spelling of an atom. Raises Defect for one that the sheet was not told of."""
        table: Mapping[str, Spelt]
        match atom:
            case Sym(key):
                table = VARIABLES if key in VARIABLES and key not in self.symbols else self.symbols
            case Volt(key):
                table = self.nodes
            case Name(key):
                table = self.names
        try:
            return table[key]
        except KeyError:
            raise Defect(f"the typesetter was not told of the symbol {key!r}") from None

    def taken(self) -> frozenset[str]:
        """All spellings of the sheet, so that a helper's name (N, D) can keep clear of them."""
        return frozenset(spelt.latex for table in (self.symbols, self.nodes, self.names) for spelt in table.values())


def _checked(name: str, pattern: re.Pattern[str]) -> str:
    if not pattern.match(name):
        raise Defect(f"{name!r} is not a name that can be spelt in mathematics")
    return name


def _tags(devices: Iterable[str]) -> dict[str, str]:
    """The tag of each device's quantities: its number where no other device has it, else its whole name."""
    numbers: dict[str, str] = {}
    for device in set(devices):
        found = re.search(r"[0-9]+[A-Z]?\Z", device)
        numbers[device] = found.group() if found else ""
    count = Counter(numbers.values())
    return {device: number for device, number in numbers.items() if number and count[number] == 1}


def _choose(drafts: Mapping[tuple[str, str], tuple[Spelt, ...]]) -> dict[tuple[str, str], Spelt]:
    """The shortest form of each name that no other name has taken."""
    level = dict.fromkeys(drafts, 0)
    reserved = [spelt.latex for spelt in VARIABLES.values()]
    while True:
        chosen = {key: forms[level[key]] for key, forms in drafts.items()}
        count = Counter([*reserved, *(spelt.latex for spelt in chosen.values())])
        movable = [key for key, spelt in chosen.items()
                   if count[spelt.latex] > 1 and level[key] < len(drafts[key]) - 1]  # fmt: skip
        if not movable:
            break
        # A question gives way before a device's quantity, and that before a part.
        ranks = {key: (key[0] == "name", len(drafts[key])) for key in movable}
        for key in movable:
            level[key] += ranks[key] == max(ranks.values())
    return {key: spelt if spelt.length <= LONGEST else _shortened(spelt, place)
            for place, (key, spelt) in enumerate(chosen.items(), start=1)}  # fmt: skip


def _shortened(spelt: Spelt, place: int) -> Spelt:
    """A spelling too long for a column: its beginning and a number that is its own."""
    letters = "".join(glyph.text for glyph in (*spelt.base[:1], *spelt.sub) if glyph.kind == "upright")
    return Spelt(spelt.base[:1] if len(spelt.base[0].text) == 1 else upright("x"),
                 upright(letters[: LONGEST - 10] + f"...{place}"))  # fmt: skip
