"""Everything about an analysis that can be computed anew for other values of the varied symbols.

Enters: an analysis, the names of the varied symbols. Leaves: responses, and recipes over them.
Must not know: documents, pages.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import pi

from derive.algebra.ratio import Ratio
from derive.answers.records import Exact, Inquiry
from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation
from derive.errors import TooLarge
from derive.expression.tree import ONE, Expr, Name, Quotient, S, Sym, Volt, product, symbols, walk
from derive.forms.present import Form
from derive.live.records import Combined, Constant, Formula, Moved, Recipe, Response, Shown, Spot, Varied
from derive.live.responses import Maker
from derive.network.records import Element

ADMITTANCE = {"resistance": lambda s: Quotient(ONE, s), "capacitance": lambda s: product(S, s),
              "inductance": lambda s: Quotient(ONE, product(S, s))}  # fmt: skip


@dataclass
class Candidates:
    """``recipes``: what a number may be; ``known``: recipes of names and voltages, by question."""

    analysis: Analysis
    varied: tuple[str, ...]
    responses: list[Response] = field(default_factory=list)
    recipes: list[Recipe] = field(default_factory=list)
    known: dict[str, dict[Expr, Recipe]] = field(default_factory=dict)
    plots: list[Moved] = field(default_factory=list)
    exact: dict[str, Spot] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.numbers = self.analysis.network.values()
        self.maker = Maker(self.varied, self.numbers)
        for derivation in self.analysis.derivations:
            self._answer(derivation)

    def symbol(self, name: str) -> Recipe | None:
        """The recipe of a symbol: a slider, or its number; beta is gm times rpi."""
        if name in self.varied:
            return Varied(self.varied.index(name))
        if name in self.numbers:
            return Constant(float(self.numbers[name]))
        return None

    def formula(self, tree: Expr, names: dict[Expr, Recipe]) -> Formula | None:
        """The recipe of an expression, None where something in it is not known."""
        known: dict[str | Expr, Recipe] = {}
        for name in symbols(tree):
            recipe = self.symbol(name)
            if recipe is not None:
                known[name] = recipe
            elif name not in ("s", "w", "f", "pi"):
                return None
        for atom in _others(tree):
            if atom not in names:
                return None
            known[atom] = names[atom]
        return Formula(tree, tuple(known.items()))

    def _answer(self, derivation: Derivation) -> None:
        name = derivation.question.name
        exact = self._exact(derivation.exact)
        if exact is None:
            return
        self.exact[name] = exact
        self.recipes.append(exact)
        names: dict[Expr, Recipe] = {Name(name): exact}
        self.known[name] = names
        approximate = self._under_statements(derivation, exact)
        self._chain(derivation, exact, names)
        for form in (derivation.form, derivation.approximate_form):
            self._coefficients(form, names)
        self._voltages(derivation.exact.inquiry, names)
        shortened = derivation.shortened
        if shortened is not None and shortened.exact is not derivation.exact:
            other = self._exact(shortened.exact)
            self.recipes += [other] if other is not None else []
        self.recipes.append(Combined("over", Constant(1), Combined("minus", Constant(1), exact)))
        if approximate is not None:
            self.recipes.append(Combined("over", Constant(1), Combined("minus", Constant(1), approximate)))
        self._equivalent(exact)
        self.plots.append(Moved(f"plot-{name}", exact.of, approximate.of if approximate is not None else None))

    def _equivalent(self, exact: Spot) -> None:
        """An impedance as a resistance with an inductance in series or a capacitance in parallel."""
        omega = 2 * pi * float(self.analysis.ground.spot)
        if omega:
            admittance = Combined("over", Constant(1), exact)
            self.recipes.append(Combined("over", Constant(1), Shown("real", admittance)))
            self.recipes += [Shown("imag", admittance, 1 / omega), Shown("imag", exact, 1 / omega)]

    def _exact(self, exact: Exact) -> Spot | None:
        try:
            return self._add(self.maker.of_inquiry(exact.inquiry))
        except TooLarge:
            return None

    def _ratio(self, ratio: Ratio | None) -> Spot | None:
        return self._add(self.maker.of_ratio(ratio)) if ratio is not None else None

    def _add(self, response: Response | None) -> Spot | None:
        if response is None:
            return None
        if response in self.responses:
            return Spot(self.responses.index(response))
        self.responses.append(response)
        return Spot(len(self.responses) - 1)

    def _under_statements(self, derivation: Derivation, exact: Spot) -> Spot | None:
        """The values under the first, the first two… statements with their errors; the last is returned."""
        found = derivation.approximate
        if found is None:
            return None
        for effect in found.effects:
            self._compared(self._ratio(effect.reduced.ratio), exact)
        last = self._ratio(found.reduced.ratio)
        self._compared(last, exact)
        used = any(effect.used for effect in found.effects)
        return last if used else None

    def _compared(self, value: Recipe | None, exact: Recipe) -> None:
        if value is not None:
            self.recipes += [value, Shown("whole", Combined("error", value, exact), 100.0)]

    def _coefficients(self, form: Form | None, names: dict[Expr, Recipe]) -> None:
        """Named coefficients, which do not depend on s."""
        for coefficient in form.coefficients if form is not None else ():
            found = self._ratio(coefficient.ratio)
            if found is not None:
                names.setdefault(coefficient.name, found)
                self.recipes.append(found)

    def _chain(self, derivation: Derivation, exact: Spot, names: dict[Expr, Recipe]) -> None:
        if derivation.chain is None:
            return
        product: Recipe | None = None
        for link in derivation.chain.links:
            own = self._exact(link.exact)
            if own is None:
                return
            names[link.name] = own
            self.recipes.append(own)
            other = self._ratio(link.approximate.reduced.ratio) if link.approximate else None
            self._compared(other, own)
            product = other if product is None or other is None else Combined("times", product, other)
        self._compared(product, exact)

    def _voltages(self, inquiry: Inquiry, names: dict[Expr, Recipe]) -> None:
        """Every node's voltage per unit of the excitation, currents of all elements, ratios to the port's voltage."""
        ground = inquiry.network.ground
        for node in inquiry.network.nodes:
            asked = replace(inquiry, above=(node, ground), below=None, factor=None)
            found = self._exact(Exact(asked, (0, 0), None, None))  # type: ignore[arg-type]
            if found is not None:
                names.setdefault(Volt(node), found)
                self.recipes.append(found)
        port = self._across(inquiry.port, names, ground)
        if port is None:
            return
        for element in inquiry.network.elements:
            self._element(element, port, names, ground)

    def _across(self, edge: tuple[str, str], names: dict[Expr, Recipe], ground: str) -> Recipe | None:
        first, second = (Constant(0) if node == ground else names.get(Volt(node)) for node in edge)
        if first is None or second is None:
            return None
        return first if second == Constant(0) else Combined("minus", first, second)

    def _element(self, element: Element, port: Recipe, names: dict[Expr, Recipe], ground: str) -> None:
        across = self._across(element.voltage, names, ground)
        if across is None or element.symbol is None:
            return
        weight = ADMITTANCE.get(element.law, lambda symbol: symbol)(Sym(element.name))
        admittance = self.formula(weight, {})
        if admittance is not None:
            current = Combined("times", admittance, across)
            self.recipes += [current, Combined("minus", Constant(0), current)]
            if element.name == element.owner:
                # A part of the description; the resistances of devices belong to their bias point.
                self.recipes.append(Combined("over", Constant(1), admittance))
        self.recipes.append(Combined("over", across, port))
        for node in element.current:
            if Volt(node) in names:
                self.recipes.append(Combined("over", names[Volt(node)], port))


def _others(tree: Expr) -> Iterator[Expr]:
    return (part for part in walk(tree) if isinstance(part, Volt | Name))
