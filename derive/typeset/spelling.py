"""How a symbol is spelt in mathematics: one ``Spelling`` for a sheet, so that it is spelt the same everywhere.

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
from derive.expression.tree import Expr, Name, Sym, Volt, walk
from derive.typeset.glyphs import Glyphs, Spelt, greek, italic, upright

NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:_[A-Za-z0-9]+)*\Z")
NODE = re.compile(r"[A-Za-z0-9_+\-]+(?:\.[A-Za-z0-9_+\-]+)?\Z")
LONGEST = 28
"""A longer name is printed shortened, with its place in the list of names, so that it fits a column."""

GREEK = ("alpha beta gamma delta epsilon zeta eta theta kappa lambda mu nu xi pi rho sigma tau phi chi psi omega "
         "Gamma Delta Theta Lambda Xi Pi Sigma Phi Psi Omega").split()  # fmt: skip

VARIABLES: Mapping[str, Spelt] = MappingProxyType(
    {"s": Spelt(italic("s")), "w": Spelt(greek("omega")), "f": Spelt(italic("f")), "pi": Spelt(greek("pi"))}
)

QUANTITIES: Mapping[str, Spelt] = MappingProxyType(
    {
        "rpi": Spelt(italic("r"), greek("pi")),
        "beta": Spelt(greek("beta")),
        "Cpi": Spelt(italic("C"), greek("pi")),
        "Cmu": Spelt(italic("C"), greek("mu")),
        "lambda": Spelt(greek("lambda")),
        "alpha": Spelt(greek("alpha")),
        "gbw": Spelt(italic("f"), upright("T")),
    }
)
"""Quantities of a device that are not spelt as a letter with an upright subscript (gm, ro, Cgs, VA)."""

PINS: Mapping[str, str] = MappingProxyType(
    {"base": "b", "collector": "c", "emitter": "e", "gate": "g", "drain": "d", "source": "s", "anode": "a",
     "cathode": "k", "plus": "+", "minus": "-", "out": "o"}
)  # fmt: skip

QUESTION_SUFFIXES = frozenset(
    "in out load src max min ref oc sc cl ol cm dm tot fb loop bias mid low high eff par ser sum dc ac hf lf".split()
)
PARTS_LIKE = "RCLGVIZYE"
"""Initials that stand for a quantity, so that what follows is a subscript."""
WHOLE_WORDS = frozenset({"Link", "Load", "Relay", "Lamp", "Coil", "Cable", "Gain", "Loop", "Level", "Line", "Ripple"})
"""Stems that begin with such an initial and still are words."""


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
            drafts["symbol", name] = _symbol_forms(_checked(name, NAME), tags, whole)
        for name in sorted(set(nodes)):
            drafts["node", name] = _node_forms(_checked(name, NODE))
        for name in sorted(set(names)):
            drafts["name", name] = (_question(_checked(name, NAME)), Spelt(upright(name)))
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


def atoms_of(exprs: Iterable[Expr]) -> tuple[set[str], set[str], set[str]]:
    """The names of symbols, of nodes and of questions in expressions."""
    symbols: set[str] = set()
    nodes: set[str] = set()
    names: set[str] = set()
    for expr in exprs:
        for part in walk(expr):
            match part:
                case Sym(name):
                    if name not in VARIABLES:
                        symbols.add(name)
                case Volt(node):
                    nodes.add(node)
                case Name(name):
                    names.add(name)
    return symbols, nodes, names


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
    """The shortest form of each name that no other name has as any of its chosen forms."""
    level = dict.fromkeys(drafts, 0)
    while True:
        chosen = {key: forms[min(level[key], len(forms) - 1)] for key, forms in drafts.items()}
        count = Counter(spelt.latex for spelt in chosen.values())
        clashing = [key for key, spelt in chosen.items() if count[spelt.latex] > 1]
        movable = [key for key in clashing if level[key] < len(drafts[key]) - 1]
        # The names of the circuit keep the short form if they can: a question or a node gives way first.
        if not movable:
            break
        for key in movable:
            level[key] += 1
    return {key: spelt if spelt.length <= LONGEST else _shortened(spelt, place)
            for place, (key, spelt) in enumerate(chosen.items(), start=1)}  # fmt: skip


def _shortened(spelt: Spelt, place: int) -> Spelt:
    """A spelling too long for a column: its beginning and a number that is its own."""
    letters = "".join(glyph.text for glyph in (*spelt.base[:1], *spelt.sub) if glyph.kind == "upright")
    return Spelt(spelt.base[:1] if len(spelt.base[0].text) == 1 else upright("x"),
                 upright(letters[: LONGEST - 10] + f"...{place}"))  # fmt: skip


def _symbol_forms(name: str, tags: Mapping[str, str], whole: frozenset[str]) -> tuple[Spelt, ...]:
    last = Spelt(upright(name))
    if name in whole:
        return (last,)
    quantity, _, owner = name.partition("_")
    if not owner:
        return (_part(name), last)
    known = QUANTITIES.get(quantity) or _part(quantity)
    long = Spelt(known.base, (*known.sub, *upright(("," if known.sub else "") + owner)))
    if owner not in tags:
        return (long, last)
    # After a letter the number follows directly (gm1); after a digit a comma keeps them apart (a0,1).
    apart = "," if known.sub and known.sub[-1].text[-1].isdigit() else ""
    return (Spelt(known.base, (*known.sub, *upright(apart + tags[owner]))), long, last)


def _part(name: str) -> Spelt:
    """A part's name or a quantity: its first letter with the rest as subscript, or an upright word."""
    if name in GREEK:
        return Spelt(greek(name))
    stem = name.rstrip("0123456789")
    if stem in WHOLE_WORDS or (len(stem) > 2 and stem[0].isupper() and stem[0] not in PARTS_LIKE):
        return Spelt(upright(name))
    return Spelt(italic(name[0]), upright(name[1:]))


def _node_forms(name: str) -> tuple[Spelt, ...]:
    part, _, pin = name.partition(".")
    whole = Spelt(italic("v"), upright(name))
    return (Spelt(italic("v"), upright(f"{part},{PINS[pin]}")), whole) if pin in PINS else (whole,)


def _question(name: str) -> Spelt:
    """A question's name: ``Zin`` has a subscript, ``boot`` is a word, ``tau_1`` a Greek letter with a number."""
    stem, _, sub = name.partition("_")
    if sub:
        tail: tuple[Glyphs, ...] = greek("infty") if sub == "inf" else upright(sub.replace("_", ","))
        head = _question(stem)
        return Spelt(head.base, (*head.sub, *upright(","), *tail) if head.sub else tail)
    if stem in GREEK:
        return Spelt(greek(stem))
    letters = stem.rstrip("0123456789")
    rest = letters[1:]
    if not rest or (stem[0].isupper() and (len(rest) == 1 or rest in QUESTION_SUFFIXES or rest.isupper())):
        return Spelt(italic(stem[0]), upright(stem[1:]))
    if letters in GREEK:
        return Spelt(greek(letters), upright(stem[len(letters) :]))
    if stem[0] in "ZY" and rest.islower():
        return Spelt(italic(stem[0]), upright(stem[1:]))
    return Spelt(upright(stem))
