"""Definitions, chains and files of lines."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from derive.expression.text import write
from tests.hand.samples import ONE_DEVICE, read, same, tree


def told(text: str, units=ONE_DEVICE, aliases=None):
    hand = read(text, units, aliases)
    definitions = [(each.name, write(each.value), each.line) for each in hand.definitions]
    return hand.target, definitions, [(link.sign, write(link.value), link.line) for link in hand.links]


@pytest.mark.parametrize(
    "text",
    [
        "A = -gm Rc/(1 + gm Re) ≈ -Rc/Re",
        "A = -gm*Rc/(1 + gm*Re)\n  ≈ -Rc/Re",
        "A := -gm*Rc/(1 + gm*Re) ~= -Rc/Re   # degeneration wins",
        "A(s) = -gm*Rc/\n(1 + gm*Re) ≈\n-Rc/Re",
        "A = -gm*Rc/(1 + gm*Re)\nA ≈ -Rc/Re",
        "A(jω) = -gm*Rc/(1\n + gm*Re)\n≅ -Rc/Re",
        "# first a comment\n\nA = -gm*Rc/(1 + gm*Re)   # exact\n\n≈ -Rc/Re",
        r"A = -\frac{g_m R_c}{1 + g_m R_e} \approx -\frac{R_c}{R_e}",
        "$A = -\\frac{g_m R_c}{1 + g_m R_e}$\n$\\approx -\\frac{R_c}{R_e}$ % so",
        "\\begin{align}\nA &= -\\frac{g_m R_c}\n{1 + g_m R_e} \\\\\n&\\approx -\\frac{R_c}{R_e} \\label{eq:a}\n"
        "\\end{align}",
        "\\begin{equation*}\\begin{aligned}A &= -\\frac{g_m R_c}{1 + g_m R_e}\\\\[2pt] "
        "&\\simeq -\\frac{R_c}{R_e}.\\end{aligned}\\end{equation*}",
        "\\[\n\\mathrm{A} = -\\frac{g_m R_c}{1 + g_m R_e} \\cong -\\frac{R_c}{R_e}\n\\]",
    ],
)
def test_a_chain(text) -> None:
    target, definitions, links = told(text)
    assert (target, definitions) == ("A", [])
    assert [link[:2] for link in links] == [("=", "-gm_Q1*Rc/(1 + gm_Q1*Re)"), ("≈", "-Rc/Re")]


def test_lines_are_those_of_the_text() -> None:
    text = "# on paper\nRx = R1 || R2\n\nA = -gm Rx\n  = -gm R1 R2/(R1 + R2)\n  ≈ -gm R1"
    target, definitions, links = told(text)
    assert target == "A"
    assert definitions == [("Rx", "R1 || R2", 2)]
    assert links == [
        ("=", "-gm_Q1*(R1 || R2)", 4),
        ("=", "-gm_Q1*R1*R2/(R1 + R2)", 5),
        ("≈", "-gm_Q1*R1", 6),
    ]
    hand = read(text, ONE_DEVICE)
    assert [link.text for link in hand.links] == ["-gm Rx", "-gm R1 R2/(R1 + R2)", "-gm R1"]
    assert hand.definitions[0].text == "R1 || R2"


@pytest.mark.parametrize(
    "text",
    [
        "Rx = R1 || R2; A = -gm*Rx",
        "A = -gm*Rx where Rx = R1 || R2",
        "A = -gm*R_x, where Rx = R1 || R2",
        "let Rx = R1 // R2\nA = -gm Rx",
        "A = -gm Rx\nRx = R1 || R2",
        "Ry = R1\nRx = Ry || R2\nA = -gm Rx",
        "A = -gm Rx with Rx = Ry || R2, Ry = R1",
        "A = -gm Rx where Rx = Ry || R2 and Ry = R1",
        "Rx = R1 || R2 = R1*R2/(R1 + R2)\nA = -gm*Rx",
        r"R_x = R_1 \parallel R_2, \quad A = -g_m R_x",
        r"A = -g_m R_x \quad\text{where}\quad R_{x} = R_1 \| R_2",
        "\\begin{aligned} R_x &= R_1 \\parallel R_2 \\\\ A &= -g_m R_x \\end{aligned}",
        "Rx = R1 || R2\n\\[ A = -g_m R_x \\]",
    ],
)
def test_definitions(text) -> None:
    hand = read(text, ONE_DEVICE)
    assert hand.target == "A"
    assert "x" in {each.name[-1] for each in hand.definitions}
    assert same(hand.links[0].value, tree("-gm_Q1*(R1 || R2)"))


def test_a_result_without_a_name() -> None:
    assert told("R1 || R2 = R1*R2/(R1 + R2)")[0] is None
    assert told("Rx = R1 || R2\n-gm Rx") == (None, [("Rx", "R1 || R2", 1)], [("=", "-gm_Q1*(R1 || R2)", 2)])
    assert told("= -gm*Rc")[::2] == (None, [("=", "-gm_Q1*Rc", 1)])


def test_a_line_that_begins_with_a_minus_goes_on_where_it_is_indented() -> None:
    assert told("Z = R1\n  - R2")[2] == [("=", "R1 - R2", 1)]


@pytest.mark.parametrize("name", ["Zin", "Z_in", "zin", r"Z_{in}", r"Z_{\mathrm{in}}", r"Z_\text{in}", "Zin(s)"])
def test_the_target_is_the_question_however_it_is_written(name) -> None:
    assert read(f"{name} = R1", ONE_DEVICE).target == "Zin"


@pytest.mark.parametrize(
    ("name", "plain"),
    [("R_x", "R_x"), (r"R_{\mathrm{tot}}", "R_tot"), (r"\tau_1", "tau_1"), ("ω0", "omega0"), (r"\omega_0", "omega_0")],
)
def test_names_of_definitions_in_plain_letters(name, plain) -> None:
    hand = read(f"{name} = R1\nA = {name}/R2", ONE_DEVICE)
    assert [each.name for each in hand.definitions] == [plain]


def test_the_author_may_define_re() -> None:
    hand = read("r_e = 1/gm\nA = -Rc/(r_e + Re)", ONE_DEVICE)
    assert same(hand.links[0].value, tree("-Rc/(1/gm_Q1 + Re)"))


def test_aliases() -> None:
    aliases = {"gma": "gm_Q1", "RL": "Rload"}
    assert told("A = gma*RL", aliases=aliases)[2] == [("=", "gm_Q1*Rload", 1)]
    assert told(r"A = g_{ma} R_L", aliases=aliases)[2] == [("=", "gm_Q1*Rload", 1)]


def test_the_example_of_the_readme() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    (text,) = [block for block in re.findall(r"```text\n(.*?)```", readme, re.DOTALL) if "frac" in block]
    target, definitions, links = told(text)
    assert (target, definitions) == ("A", [("R_x", "R1 || R2", 1)])
    assert [link[0] for link in links] == ["=", "≈"]
    plain = next(part for part in re.findall(r"`([^`]*)`", readme) if part.startswith("Rx = R1"))
    assert [link[:2] for link in told(plain)[2]] == [link[:2] for link in links]
