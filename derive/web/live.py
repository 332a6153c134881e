"""The script of the sliders: formulas and responses of a page as JavaScript, and which number is which.

Enters: ``Live``, the readings in the order in which they stand on the page. Leaves: a script. Must not know: circuits.

The code is generated from expression trees with places for names: no text of an author is in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from derive.errors import Defect
from derive.expression.tree import (
    Call,
    Expr,
    Name,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    Volt,
)
from derive.live.records import Combined, Constant, Formula, Live, Recipe, Shown, Slider, Spot, Varied
from derive.numbers import plain
from derive.web.escape import as_json
from derive.words import Reading

DIGITS = 4


@dataclass(frozen=True)
class Marked:
    """A reading that follows: its place on the page, its recipe's place, and how it is printed."""

    place: int
    recipe: int
    reading: Reading

    def row(self) -> list[Any]:
        return [self.place, self.recipe, self.reading.unit, self.reading.digits, self.reading.style]


class Coder:
    """Recipes as JavaScript, each distinct one once."""

    def __init__(self) -> None:
        self.codes: list[str] = []
        self.known: dict[Recipe, int] = {}

    def place(self, recipe: Recipe) -> int:
        """The place of a recipe in the list of functions; it refers to those before it."""
        if recipe not in self.known:
            code = self._code(recipe)
            self.known[recipe] = len(self.codes)
            self.codes.append(code)
        return self.known[recipe]

    def _call(self, recipe: Recipe) -> str:
        return f"q({self.place(recipe)})"

    def _code(self, recipe: Recipe) -> str:
        match recipe:
            case Constant(value):
                return _number(value)
            case Varied(place):
                return f"[x[{place}],0]"
            case Spot(of):
                return f"spot({of})"
            case Formula(tree, names):
                return self._tree(tree, dict(names))
            case Combined("error", first, second):
                return f"error({self._call(first)},{self._call(second)})"
            case Combined("times", first, second):
                return f"mul({self._call(first)},{self._call(second)})"
            case Combined("over", first, second):
                return f"div({self._call(first)},{self._call(second)})"
            case Combined(_, first, second):
                return f"sub({self._call(first)},{self._call(second)})"
            case Shown(part, of, scale):
                return f"shown({self._call(of)},{_float(scale)},{_text(part)})"

    def _tree(self, tree: Expr, names: Mapping[str | Expr, Recipe]) -> str:
        def inner(expr: Expr) -> str:
            return self._tree(expr, names)

        match tree:
            case Num(value):
                return f"[{_float(value.numerator)}/{_float(value.denominator)},0]"
            case Sym(name) if name not in names:
                return {"s": "[0,W]", "w": "[W,0]", "f": "[F,0]", "pi": "[Math.PI,0]"}[name]
            case Sym(name):
                return self._call(names[name])
            case Volt() | Name():
                return self._call(names[tree])
            case Sum(terms):
                return f"add({','.join(map(inner, terms))})"
            case Product(factors):
                return f"mul({','.join(map(inner, factors))})"
            case Quotient(above, below):
                return f"div({inner(above)},{inner(below)})"
            case Power(base, exponent):
                return f"pow({inner(base)},{int(exponent)})"
            case Parallel(branches):
                return f"par({','.join(map(inner, branches))})"
            case Call(function, argument) if function in ("sqrt", "abs", "log10", "exp"):
                return f"call_{function}({inner(argument)})"
        raise Defect(f"no script can be made of a {type(tree).__name__}")


def script(
    live: Live, readings: Sequence[Reading], geometry: Mapping[str, Any], calculus: Markup, page: Markup
) -> Markup:
    """The whole script: data, ``calculus`` (complex numbers), the functions, ``page`` (what moves the page)."""
    coder = Coder()
    marked: list[Marked] = []
    kept: list[int] = []
    for place, reading in enumerate(readings):
        found = live.found.get(id(reading))
        if found is not None and found.recipe is not None:
            marked.append(Marked(place, coder.place(found.recipe), reading))
        elif found is not None:
            kept.append(place)
    curves = {moved.stem: [moved.exact, moved.approximate] for moved in live.plots}
    figures = [{**shape, "name": name, "curves": curves[shape["stem"]]}
               for name, shape in geometry.items() if shape["stem"] in curves]  # fmt: skip
    model = {
        "values": [slider.value for slider in live.sliders], "units": [slider.unit for slider in live.sliders],
        "spot": live.spot, "responses": [[response.above, response.below] for response in live.responses],
        "marked": [entry.row() for entry in marked], "kept": kept, "figures": figures,
    }  # fmt: skip
    functions = ",\n".join(f"(x,q,spot)=>{code}" for code in coder.codes)
    return Markup('"use strict";\nconst model={};\n{}\nconst recipes=[\n{}\n];\n{}').format(
        as_json(model), calculus, Markup(functions), page
    )


def shown(slider: Slider) -> str:
    """The slider's own value as it is printed."""
    return plain(slider.value, slider.unit, DIGITS)


def _number(value: complex) -> str:
    value = complex(value)
    return f"[{_float(value.real)},{_float(value.imag)}]"


def _float(value: float | int) -> str:
    return repr(float(value))


def _text(word: str) -> str:
    return f'"{word}"'
