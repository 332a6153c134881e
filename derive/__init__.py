"""Symbolic derivations of analogue circuits, written as worksheets.

The same road as the command line, step by step::

    from derive import read, answer, analyse, bias_point, make, write

    circuit = read("worked/harbour_hydrophone.toml")     # a checked Circuit
    bias = bias_point(circuit)                           # operating points, certificate, estimate; None, or why not
    exact = answer(circuit, "Zin")                       # one exact answer: symbolic ratio, spectrum, terms
    analysis = analyse(circuit)                          # every question derived, every step checked
    write(make(circuit), Path("build/harbour_hydrophone"))

Names are looked up on first use, so that importing the package costs nothing.
"""

from __future__ import annotations

import os
from importlib import import_module
from typing import Any

# Matrices here are small: several threads for each would only wait for one another, ten times as long as the work
# takes. Read when the numeric library is loaded, which this package does later; whoever has set it is not overruled.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

_HOME = {
    "read": "derive.description.reader",
    "read_text": "derive.description.reader",
    "answer": "derive.interface",
    "analyse": "derive.derivation.analyse",
    "bias_point": "derive.interface",
    "make": "derive.pipeline",
    "write": "derive.pipeline",
}
__all__ = ["analyse", "answer", "bias_point", "make", "read", "read_text", "write"]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'derive' has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)
