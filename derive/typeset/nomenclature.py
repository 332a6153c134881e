"""The rules by which one name becomes a letter with a subscript.

Enters: a name that passed the whitelist. Leaves: its possible spellings, the shortest first.
Must not know: the other names of a sheet; ``derive.typeset.spelling`` chooses among the forms.

To spell a quantity in another way, add it to QUANTITIES. Letters as the trade writes them: IEC 60747 and
ISO 80000-6 habits, upright subscripts where they are not quantities (ISO 80000-1, 7.1; from memory).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from derive.document.records import DIRECT
from derive.typeset.glyphs import Glyphs, Spelt, greek, italic, upright

NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:_[A-Za-z0-9]+)*\Z")
NODE = re.compile(rf"(?:{DIRECT})?[A-Za-z0-9_+\-]+(?:\.[A-Za-z0-9_+\-]+)?\Z")

GREEK = frozenset(
    {
     "alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "kappa", "lambda", "mu", "nu",
     "xi", "pi", "rho", "sigma", "tau", "phi", "chi", "psi", "omega", "Gamma", "Delta", "Theta", "Lambda",
     "Xi", "Pi", "Sigma", "Phi", "Psi", "Omega"}
)  # fmt: skip

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
        "rmu": Spelt(italic("r"), greek("mu")),
        "betaF": Spelt(greek("beta"), upright("F")),
        "Is": Spelt(italic("I"), upright("S")),
        "gbw": Spelt(italic("f"), upright("T")),
    }
)
"""Quantities of a device that are not spelt as a letter with an upright subscript (gm, ro, Cgs, VA).

The saturation current has a large S, so that it is not taken for the current of a source.
"""
CURRENT = "I"
"""The current through the part that owns it, whose whole name stands beside it: I_R1 is not I_1."""

PINS: Mapping[str, str] = MappingProxyType(
    {"base": "b", "collector": "c", "emitter": "e", "gate": "g", "drain": "d", "source": "s", "anode": "a",
     "cathode": "k", "plus": "+", "minus": "-", "out": "o"}
)  # fmt: skip

QUESTION_SUFFIXES = frozenset(
    {"in", "out", "load", "src", "max", "min", "ref", "oc", "sc", "cl", "ol", "cm", "dm", "tot", "fb", "loop",
     "bias", "mid", "low", "high", "eff", "par", "ser", "sum", "dc", "ac", "hf", "lf"}
)  # fmt: skip
PARTS_LIKE = "RCLGVIZYE"
"""Initials that stand for a quantity, so that what follows is a subscript."""
WHOLE_WORDS = frozenset({"Link", "Load", "Relay", "Lamp", "Coil", "Cable", "Gain", "Loop", "Level", "Line", "Ripple"})
"""Stems that begin with such an initial and still are words."""


def symbol_forms(name: str, tags: Mapping[str, str], whole: frozenset[str]) -> tuple[Spelt, ...]:
    last = Spelt(upright(name))
    if name in whole:
        return (last,)
    quantity, _, owner = name.partition("_")
    if not owner:
        # Parts begin with a capital, so what does not is a quantity of no one device: the head of a column.
        return ((QUANTITIES.get(name) if name[0].islower() else None) or _part(name), last)
    known = QUANTITIES.get(quantity) or _part(quantity)
    long = Spelt(known.base, (*known.sub, *upright(("," if known.sub else "") + owner)))
    if owner not in tags or quantity == CURRENT:
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


def node_forms(name: str) -> tuple[Spelt, ...]:
    """The voltage of a node: a small v for a signal, a large V for a direct voltage (IEC 60027-1; from memory)."""
    letter, name = italic("V" if name.startswith(DIRECT) else "v"), name.removeprefix(DIRECT)
    part, _, pin = name.partition(".")
    subs = [f"{part},{PINS[pin]}", name] if pin in PINS else [name]
    if letter[0].text == "V":
        # A supply may be called Vout; then the node gives way.
        subs += [f"{name},dc", f"{name},direct"]
    return tuple(Spelt(letter, upright(sub)) for sub in subs)


def question_forms(name: str) -> tuple[Spelt, ...]:
    return (_question(name), Spelt(upright(name)), Spelt(upright(name), upright("answer")))


def _question(name: str) -> Spelt:
    """A question's name: ``Zin`` has a subscript, ``boot`` is a word, ``tau_1`` a Greek letter."""
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
