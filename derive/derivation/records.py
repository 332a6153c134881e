"""A derivation as a list of steps, each with its evidence.

Enters: nothing. Leaves: the records that the document is composed from.
Must not know: LaTeX, pages.

A step that claims an equality is made by ``derive.derivation.checks.equal`` (which evaluates both sides exactly);
one that claims an approximation carries the measured error. ``evidence`` says which check it passed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.algebra.spectrum import Spectrum
from derive.answers.records import Exact
from derive.approximate.error import Error
from derive.approximate.records import Approximate, Certified
from derive.circuit.records import Question
from derive.expression.tree import Expr
from derive.forms.present import Form
from derive.proposal.records import Proposal
from derive.structure.records import Short
from derive.words import Line, Words


@dataclass(frozen=True)
class Step:
    """The rule in words, the algebra, the number beside it; ``evidence`` is the check that it passed."""

    rule: Words
    lines: tuple[Line, ...]
    number: Words
    evidence: str
    note: Words = ()
    kind: Literal["law", "equal", "approximate", "remark"] = "equal"


@dataclass(frozen=True)
class Link:
    """One factor of a stage chain: V(to)/V(source)."""

    source: str
    to: str
    name: Expr
    exact: Exact
    form: Form
    spot: complex
    approximate: Approximate | None
    approximate_form: Form | None
    short: Short | None = None
    """The short form, where neither the exact one nor the one under the statements can be seen at once."""

    @property
    def told(self) -> Spectrum | None:
        """The spectrum of the simplest form that is shown; None where none is."""
        if self.short is not None:
            return self.short.spectrum
        reduced, form = self.approximate, self.approximate_form
        if reduced is not None and form is not None and form.tree is not None and not form.named:
            return reduced.reduced.spectrum
        return self.exact.spectrum if self.form.tree is not None and not self.form.named else None


@dataclass(frozen=True)
class Chain:
    """The gain as a product of node-to-node ratios. The product of the links is the exact answer (checked).

    ``product``: the product of the simplest forms shown, ``error`` its error; None where one link has no form, or
    where all are exact.
    """

    links: tuple[Link, ...]
    product: Spectrum | None
    error: Error | None


@dataclass(frozen=True)
class Share:
    """What one element draws at a port. ``follows``: V(far end)/V(port), both against the port's second
    node; None for a controlled source.

    ``own``: its own impedance at the spot in ohms (1/g for a controlled source); ``share``: its part of the
    port's current; ``controls``: the controlling voltage over the port's, for a controlled source.
    """

    part: str
    symbol: str
    far: str
    own: complex
    follows: complex | None
    controls: complex | None
    share: complex
    follows_form: Form | None
    """How the far end follows, as a formula, where it is short."""
    spectrum: Spectrum
    """The share over frequency."""


@dataclass(frozen=True)
class Budget:
    """Kirchhoff's law at a port: the shares of all that touches it; they add to one (checked exactly)."""

    node: str
    shares: tuple[Share, ...]
    law: Step


@dataclass(frozen=True)
class Shortened:
    """The short form of ``name`` (the answer, or one minus it): its lines, and what was done for it in words."""

    name: Expr
    exact: Exact
    short: Short
    steps: tuple[Step, ...]
    told: tuple[Words, ...]
    certified: Certified | None = None


@dataclass(frozen=True)
class Derivation:
    """All that is said about one question."""

    question: Question
    exact: Exact
    form: Form
    spot: complex
    asked: Words
    same_equations_as: str | None
    equations: tuple[Step, ...]
    elimination: tuple[Step, ...]
    result: tuple[Step, ...]
    corners: tuple[Step, ...]
    """Corner frequencies, f_0 and Q as formulas: of the exact answer, else of the approximate one."""
    chain: Chain | None
    budget: Budget | None
    approximate: Approximate | None
    approximate_form: Form | None
    approximations: tuple[Step, ...]
    remarks: tuple[Words, ...]
    shortened: Shortened | None = None
    proposal: Proposal | None = None
    others_as: tuple[str, ...] = ()
    """The questions under which the equations stand that are not repeated here."""
