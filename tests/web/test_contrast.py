"""Contrast of the page's colours, light, dark and in print, by the formula of WCAG 2.2 (criteria 1.4.3, 1.4.11).

The relative luminance is that of the recommendation (w3.org/TR/WCAG22, "relative luminance").
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

STYLE = (Path(__file__).parents[2] / "templates" / "web" / "style.css").read_text("utf-8")
TEXT, GRAPHIC = 4.5, 3.0
PAIRS = [
    ("ink", "paper", TEXT), ("faint", "paper", TEXT), ("accent", "paper", TEXT), ("alarm", "paper", TEXT),
    ("rust", "paper", TEXT), ("ink", "tint", TEXT), ("faint", "tint", TEXT), ("accent", "tint", TEXT),
    ("ink", "agreement", TEXT), ("paper", "accent", TEXT), ("exact", "paper", GRAPHIC), ("exact", "tint", GRAPHIC),
    ("rust", "tint", GRAPHIC), ("rust", "agreement", GRAPHIC),
]  # fmt: skip


def themes() -> dict[str, dict[str, str]]:
    found = re.findall(r":root \{(.*?)\}", STYLE, re.DOTALL)
    assert len(found) == 3
    light, dark, printed = (dict(re.findall(r"--([a-z]+): (#[0-9a-f]{3,6})", text)) for text in found)
    return {"light": light, "dark": {**light, **dark}, "print": {**light, **printed}}


def luminance(colour: str) -> float:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[k : k + 2], 16) / 255 for k in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(first: str, second: str) -> float:
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_on_known_pairs():
    assert contrast("#000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
@pytest.mark.parametrize(("front", "back", "least"), PAIRS)
def test_contrast(theme, front, back, least):
    colours = themes()[theme]
    assert contrast(colours[front], colours[back]) >= least


def test_every_colour_is_one_of_the_theme():
    rules = re.sub(r":root \{.*?\}", "", STYLE, flags=re.DOTALL)
    # Pictures that bring their own colours stand on white.
    assert re.findall(r"#[0-9a-f]{3,8}\b|rgba?\(|hsl", rules) == ["#fff"]
