"""The second opinion: exact answers confirmed by lcapy, which runs in a process of its own.

Enters: inquiries and the exact number of every symbol. Leaves: an opinion or a verdict per inquiry.
Must not know: the kernel, how an answer was found, LaTeX; lcapy's syntax is in ``circuit_text`` alone.

How to use it: ``pending = start(inquiries, values)`` at once, derive the answers meanwhile, then
``pending.collect(spectra, timeout)``. The spectra (by the inquiry's name) must be taken at the same
``values``: those go to lcapy exactly, none is rounded, so equality is exact equality. Names of inquiries must
be distinct. Inquiries with the same network and excitation are solved once, whatever they read.

lcapy runs in a temporary folder that is also its home, so that no settings file is read; it is given only
generated names and numbers. At the time limit its whole process group is killed; what it had answered by
then still counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from derive.answers.records import Inquiry
from derive.opinion.circuit_text import write_circuit
from derive.opinion.factor import law_of_factor
from derive.opinion.process import Process
from derive.opinion.verdict import Opinion, Verdict, compare, judge

if TYPE_CHECKING:
    from derive.algebra.spectrum import Spectrum

__all__ = ["Opinion", "Pending", "Verdict", "compare", "judge", "start"]


def start(inquiries: Sequence[Inquiry], values: Mapping[str, Fraction]) -> Pending:
    """Starts lcapy on all inquiries and returns at once.

    ``values``: the exact number of every symbol, in SI base units.
    """
    failures: dict[str, str] = {}
    jobs: dict[str, dict[str, Any]] = {}
    for key, inquiry in enumerate(inquiries):
        try:
            law_of_factor(inquiry)
            text = write_circuit(inquiry, values)
            below = None if inquiry.below is None else text.pair(inquiry.below)
            ask = {"key": key, "above": text.pair(inquiry.above), "below": below}
        except ValueError as error:
            failures[inquiry.name] = str(error)
        else:
            jobs.setdefault(text.netlist, {"netlist": text.netlist, "asks": []})["asks"].append(ask)
    return Pending(inquiries, values, list(jobs.values()), failures)


class Pending:
    """A second opinion that is being formed."""

    def __init__(
        self,
        inquiries: Sequence[Inquiry],
        values: Mapping[str, Fraction],
        jobs: list[dict[str, Any]],
        failures: Mapping[str, str],
    ) -> None:
        self.inquiries, self.values = tuple(inquiries), values
        self.process = Process(jobs) if jobs else None
        self._failures = dict(failures)
        self._found: dict[str, Opinion | str] | None = None

    def opinions(self, timeout: float) -> dict[str, Opinion | str]:
        """Per inquiry's name an opinion, or why there is none.

        ``timeout``: seconds since the start. A process still running then is killed with its whole group.
        The first call decides; later calls give the same.
        """
        if self._found is None:
            self._found = self._read(timeout)
        return self._found

    def collect(self, spectra: Mapping[str, Spectrum], timeout: float) -> list[Verdict]:
        """A verdict on each inquiry, in their order. ``timeout`` as for :meth:`opinions`."""
        found = self.opinions(timeout)
        return [judge(i.name, spectra.get(i.name), found[i.name]) for i in self.inquiries]

    def _read(self, timeout: float) -> dict[str, Opinion | str]:
        records, finished = self.process.read(timeout) if self.process else ({}, True)
        silent = "lcapy ended without an answer" if finished else f"lcapy gave no answer within {timeout:g} s"
        found: dict[str, Opinion | str] = dict(self._failures)
        for key, inquiry in enumerate(self.inquiries):
            if inquiry.name not in found:
                record = records.get(key, {"failure": silent})
                found[inquiry.name] = record.get("failure") or _opinion(record, inquiry, self.values)
        return found


def _opinion(record: Mapping[str, Any], inquiry: Inquiry, values: Mapping[str, Fraction]) -> Opinion:
    """The worker's record, times the admittance of the inquiry's factor."""
    numerator = tuple(map(Fraction, record["numerator"]))
    denominator = tuple(map(Fraction, record["denominator"]))
    law, zero = law_of_factor(inquiry), (Fraction(0),)
    if law is not None and inquiry.factor is not None:
        value = Fraction(values[inquiry.factor])
        if law in ("conductance", "capacitance"):
            numerator = tuple(value * coefficient for coefficient in numerator)
        else:
            denominator = tuple(value * coefficient for coefficient in denominator)
        numerator = zero + numerator if law == "capacitance" else numerator
        denominator = zero + denominator if law == "inductance" else denominator
    return Opinion(numerator, denominator, float(record["seconds"]))
