"""How every node answers one excitation, with any controlled source alive or dead.

Enters: an inquiry, the numbers of its symbols. Leaves: exact spectra and values, each diagram built once.
Must not know: words, devices.

A dead source is one whose admittance is zero: the diagrams are those of the living network, evaluated so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import pi

from derive.algebra.spectrum import Spectrum
from derive.answers.exact import NoSolution, connected, spectrum
from derive.answers.inquire import zeroed
from derive.answers.records import Inquiry
from derive.network.records import Drive, Edge, Network
from derive.opinion.numeric import solve_nodal_matrix

TIGHT = 1e-10
"""Relative bound of rounding up to which a value of the nodal matrix is taken."""


@dataclass
class Field:
    """Voltages per volt or ampere of the excitation of ``inquiry``, and per ampere that enters any node."""

    inquiry: Inquiry
    numbers: Mapping[str, Fraction]
    spot: Fraction
    _known: dict[tuple[Edge, Edge | None, tuple[str, ...]], Spectrum | None] = field(default_factory=dict)

    @property
    def ground(self) -> str:
        return self.inquiry.network.ground

    def answer(self, edge: Edge, dead: Iterable[str] = ()) -> Spectrum | None:
        """The voltage of an edge under the excitation; None where it is undetermined without the dead elements."""
        return self._answer(edge, None, tuple(sorted(dead)))

    def transfer(self, edge: Edge, current: Edge, dead: Iterable[str] = ()) -> Spectrum | None:
        """The voltage of an edge for one ampere that enters the first node of ``current``, the excitation zeroed."""
        return self._answer(edge, current, tuple(sorted(dead)))

    def at_spot(self, edge: Edge, dead: Iterable[str] = ()) -> complex | None:
        """The voltage of an edge at the spot; None where it is undetermined."""
        return self._at_spot(edge, None, tuple(sorted(dead)))

    def transfer_at_spot(self, edge: Edge, current: Edge, dead: Iterable[str] = ()) -> complex | None:
        """``transfer`` at the spot."""
        return self._at_spot(edge, current, tuple(sorted(dead)))

    def node(self, name: str, dead: Iterable[str] = ()) -> complex | None:
        """The voltage of a node at the spot."""
        return self.at_spot((name, self.ground), dead)

    def _at_spot(self, edge: Edge, current: Edge | None, dead: tuple[str, ...]) -> complex | None:
        """By the plain nodal matrix where its error is bounded tightly, which is quicker; else by the kernel."""
        if edge[0] == edge[1] or (current is not None and current[0] == current[1]):
            return 0j
        if (edge, current, dead) not in self._known:
            inquiry = self._inquiry(edge, current)
            inquiry = replace(inquiry, network=inquiry.network.delete(*dead))
            try:
                inquiry = replace(inquiry, network=connected(inquiry))
                found = solve_nodal_matrix(inquiry, self.numbers, 2j * pi * float(self.spot))
            except ArithmeticError:
                found = None
            if found is not None and found.error <= TIGHT * abs(found.value):
                return found.value
        exact = self._answer(edge, current, dead)
        return None if exact is None else exact.at_frequency(self.spot)

    def _answer(self, edge: Edge, current: Edge | None, dead: tuple[str, ...]) -> Spectrum | None:
        if edge[0] == edge[1] or (current is not None and current[0] == current[1]):
            return Spectrum((Fraction(0),), (Fraction(1),))
        key = (edge, current, dead)
        if key not in self._known:
            self._known[key] = self._solved(edge, current, dead)
        return self._known[key]

    def _solved(self, edge: Edge, current: Edge | None, dead: tuple[str, ...]) -> Spectrum | None:
        inquiry = self._inquiry(edge, current)
        laws = {e.name: e.law for e in inquiry.network.elements}
        if any(laws.get(name) in ("resistance", "inductance", "unity", "ratio", "delay") for name in dead):
            # A conductance or a capacitance dies by its number; another element has to be taken out.
            inquiry = replace(inquiry, network=inquiry.network.delete(*dead))
            numbers = self.numbers
        else:
            numbers = {**self.numbers, **dict.fromkeys(dead, Fraction(0))}
        try:
            return spectrum(inquiry, numbers)
        except NoSolution:
            return None

    def _inquiry(self, edge: Edge, current: Edge | None) -> Inquiry:
        inquiry = replace(self.inquiry, above=edge, below=None, factor=None)
        if current is not None:
            return replace(inquiry, network=self._quiet, excitation="current", port=current)
        return inquiry

    @property
    def _quiet(self) -> Network:
        """The network with its own excitation zeroed."""
        inquiry = self.inquiry
        if inquiry.excitation == "current":
            return inquiry.network
        drive = Drive("excitation", "voltage", *inquiry.port)
        return zeroed(inquiry.network, (drive,))
