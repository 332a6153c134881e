"""How the trade writes a device's quantities without saying whose they are: gm1, r_π, h_fe, β.

Enters: the letters of a word and the circuit's symbols. Leaves: the symbols that it may stand for.
Must not know: tokens, definitions. The spellings are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

SPELLINGS: Mapping[str, tuple[str, ...]] = {
    "gm": ("gm",), "gfs": ("gm",), "yfs": ("gm",),
    "rpi": ("rpi",), "rbe": ("rpi",),
    "beta": ("beta",), "hfe": ("beta",), "betaf": ("beta",), "bf": ("beta",),
    "ro": ("ro",), "rce": ("ro",), "rds": ("ro",), "rd": ("rd", "ro"),
    "rb": ("rb",), "rbb": ("rb",), "rx": ("rb",),
    "cpi": ("Cpi",), "cbe": ("Cpi",), "cmu": ("Cmu",), "cbc": ("Cmu",), "ccb": ("Cmu",), "cob": ("Cmu",),
    "cgs": ("Cgs",), "cgd": ("Cgd",), "crss": ("Cgd",), "cj": ("Cj",),
    "a0": ("a0",), "aol": ("a0",), "avol": ("a0",), "tau": ("tau",),
}  # fmt: skip
_BY_LENGTH = sorted(SPELLINGS, key=len, reverse=True)


def candidates(key: str, symbols: Iterable[str]) -> list[str]:
    """The symbols that a word may stand for: those of the device that its ending names, or of all where it has none.

    An ending names a device by its name, or by its number. A capital R is a resistor's, never a device's.

    >>> candidates("gm1", ["gm_Q1", "gm_Q2"]), candidates("hfe", ["beta_Q1", "R1"])
    (['gm_Q1'], ['beta_Q1'])
    """
    quantity, tag = split(key)
    if quantity is None:
        return []
    owners = _owners(quantity, symbols)
    return [symbol for symbol, owner in owners if not tag or _ends(owner, tag)]


def alike(key: str, symbols: Iterable[str]) -> list[str]:
    """All symbols of the quantity that a word names, whatever its ending."""
    quantity, _ = split(key)
    return [] if quantity is None else [symbol for symbol, _ in _owners(quantity, symbols)]


def split(key: str) -> tuple[str | None, str]:
    """The quantity at the beginning of a word, and its ending."""
    lower = key.lower()
    for spelling in _BY_LENGTH:
        if lower.startswith(spelling) and not (key[0] == "R" and spelling[0] == "r"):
            return spelling, lower[len(spelling) :]
    return None, lower


def _owners(quantity: str, symbols: Iterable[str]) -> list[tuple[str, str]]:
    known = list(symbols)
    for prefix in SPELLINGS[quantity]:
        found = [(symbol, symbol.partition("_")[2]) for symbol in known if symbol.startswith(prefix + "_")]
        if found:
            return found
    return []


def _ends(owner: str, tag: str) -> bool:
    number = re.search(r"[0-9]+[A-Z]?\Z", owner)
    return owner.lower() == tag or (number is not None and number.group().lower() == tag)
