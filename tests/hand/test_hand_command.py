"""``derive check`` and [[hand]]: messages, tables, exit status, the record and the page."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from derive.check import Checker, told
from derive.command import app
from derive.derivation.analyse import analyse
from derive.description.reader import read as read_description
from derive.description.reader import read_text
from derive.document.compose import compose
from derive.document.compose.verdict import diagnosis_words
from derive.document.records import Ledger, Notice, Plot
from derive.errors import DescriptionError
from derive.hand.limits import Going
from derive.hand.parting import parting
from derive.pipeline import make
from derive.spoken import spoken
from tests.hand.test_chain import DESCRIPTION, LOW_PASS

RIGHT = "-beta_Q1*(Rc || RL)/(rpi_Q1 + (beta_Q1 + 1)*Re)"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "stage.toml"
    path.write_text(DESCRIPTION, encoding="utf-8")
    return path


def run(*words: object) -> tuple[int, str]:
    found = CliRunner().invoke(app, ["check", *map(str, words)])
    return found.exit_code, found.output


def test_status_tells_right_from_wrong(file: Path) -> None:
    assert run(file, "--of", "A", RIGHT) == (
        0,
        "A: right\nRight: exactly equal to the answer, both sides multiplied out are the same polynomials.\n",
    )
    status, said = run(file, "--of", "A", RIGHT.removeprefix("-"))
    assert status == 1
    assert "It would be right with the opposite sign." in said


def test_latex_is_read(file: Path) -> None:
    text = r"-\frac{\beta (R_c \parallel R_L)}{r_\pi + (\beta + 1) R_e}"
    assert run(file, "--of", "A", text)[0] == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--of", "B", "1"), "there is no question B"),
        (("1",), "say which question it answers: --of NAME"),
        (("--of", "A"), "say what the result about A is"),
        (("--of", "A", "Rx"), "Rx is not a symbol of this circuit"),
        (("--of", "A", "Rc + gm_Q1"), "Rc is in ohms"),
        (("--of", "A", "1", "--within", "lots"), "--within lots"),
        (("--of", "A", "1", "--within", "0 %"), "--within 0 %"),
        (("--of", "A", "--lines", "nowhere.txt"), "nowhere.txt cannot be read"),
        (("--of", "A", "1", "--lines", "x"), "give one of EXPRESSION, --lines and --claims"),
        ((), "holds no result by hand"),
    ],
)
def test_what_cannot_be_read_has_status_two(file: Path, words: tuple[str, ...], said: str) -> None:
    status, output = run(file, *words)
    assert status == 2
    assert said in output


def test_lines_and_claims_of_files(file: Path, tmp_path: Path) -> None:
    lines, claims = tmp_path / "lines.txt", tmp_path / "claims.txt"
    lines.write_text(f"A = {RIGHT}\n≈ -(Rc || RL)/Re\n", encoding="utf-8")
    status, said = run(file, "--of", "A", "--lines", lines)
    assert status == 1
    assert "line 2: ≈" in said
    claims.write_text(f"# chapter\nA = {RIGHT}\nZin = R1 || R2 || Rs\n\nZin = R1 || Q9\n", encoding="utf-8")
    status, said = run(file, "--claims", claims)
    rows = said.splitlines()
    assert status == 2
    assert [row.split()[:3] for row in rows[1:]] == [["2", "A", "right"], ["3", "Zin", "wrong"], ["5", "Zin", "not"]]


def hand(of: str, says: str, more: str = "") -> str:
    return f"[[hand]]\nof = \"{of}\"\nsays = '{says}'\n{more}"


def test_results_in_the_description(file: Path) -> None:
    file.write_text(DESCRIPTION + hand("A", RIGHT) + hand("Zin", "R1 || R2"), encoding="utf-8")
    status, said = run(file)
    assert status == 1
    assert [row.split()[:2] for row in said.splitlines()[1:]] == [["A", "right"], ["Zin", "wrong"]]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (hand("B", "1"), "hand result 1: there is no question B"),
        (hand("A", "Rc +"), "hand result 1"),
        (hand("A", "1", 'name = "x"\n') + hand("A", "2", 'name = "x"\n'), "another is named"),
        (hand("A", "1", "colour = 1\n"), "hand result 1: unknown key"),
        ('[hand]\nof = "A"\n', "single brackets"),
    ],
)
def test_a_wrong_entry_is_told_with_its_line(text: str, said: str) -> None:
    with pytest.raises(DescriptionError, match=r"stage.toml, line \d+: ") as caught:
        analyse(read_text(DESCRIPTION + text, "stage.toml"))
    assert said in str(caught.value)


def test_the_sheet_and_the_record_say_it() -> None:
    says = "≈ 1/(1 + 2*s*R1*C1)"
    text = LOW_PASS + hand("H", says, 'name = "by lamp light"\nbecause = "so it seemed"\n')
    sheet = make(read_text(text, "low.toml"), pdf=False, opinion=False)
    assert sheet.hand_wrong
    (entry,) = json.loads(sheet.files["record.json"])["hand"]
    assert (entry["of"], entry["verdict"], entry["holds"], entry["name"]) == ("H", "wrong", False, "by lamp light")
    assert entry["diagnosis"]["slip"] == "factor"
    assert entry["diagnosis"]["repaired"] == "1/(1 + s*R1*C1)"
    assert "hand-H-1.pdf" in sheet.files


def test_the_section_stands_with_its_question() -> None:
    text = LOW_PASS + hand("H", "1/(1 + s*R1*C1)") + hand("H", "1/(1 - s*R1*C1)")
    document = compose(analyse(read_text(text, "low.toml")), ("",), {})
    notices = [block for block in document.blocks if isinstance(block, Notice) and block.kind == "warning"]
    assert len(notices) == 1
    assert "+ s*R1*C1 instead of - s*R1*C1" in spoken(notices[0].words)
    assert [block.stem for block in document.blocks if isinstance(block, Plot)] == ["plot-H", "hand-H-2"]
    rows = [row for block in document.blocks if isinstance(block, Ledger) for row in block.rows]
    assert [row.kind for row in rows if row.rule in (("as written",), ("put right",))] == ["equal", "remark", "equal"]


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ("gm_Q1/(1 + gm_Q1*Re)", ["is in siemens, and the answer is a pure number", "multiplied by"]),
        ("gm_Q1*Rc/(1 + gm_Q1*Re)", ["close with the opposite sign", "exactly the answer for"]),
        ("-gm_Q1*Rc", ["divided by 1 + gm_Q1*Re"]),
        ("-gm_Q1*Rc/(1 - gm_Q1*Re)", ["+ gm_Q1*Re instead of - gm_Q1*Re"]),
    ],
)
def test_simple_slips_are_told_before_what_is_dearer(tmp_path: Path, formula: str, words: list[str]) -> None:
    path = tmp_path / "gauge.toml"
    path.write_text(GAUGE, encoding="utf-8")
    checker = Checker(read_description(path))
    judged = checker.check("A", formula)
    assert judged.result.kind == "wrong"
    for each in words:
        assert each in told(judged)


def test_a_formula_that_is_a_limit_of_the_answer_is_told_as_one(tmp_path: Path) -> None:
    path = tmp_path / "gauge.toml"
    path.write_text(GAUGE, encoding="utf-8")
    checker = Checker(read_description(path))
    side = checker.check("A", "-Rc/Re").side
    found = parting(side, checker.matter("A").right, checker.matter("A"))
    assert [each.relation for each in found.limits] == [Going("gm_Q1", "inf").relation]
    assert "exactly the answer for" in spoken(diagnosis_words(found))


GAUGE = """
[about]
title = "Sluice level gauge (invented)"
[parts]
Vs = { signal = "voltage", between = ["src", "gnd"] }
Q1 = { bjt = "npn", base = "src", emitter = "e", collector = "c", gm = "40 mS", beta = 200 }
Re = { resistor = "1 kΩ", between = ["e", "gnd"] }
Rc = { resistor = "4.7 kΩ", between = ["c", "gnd"] }
[[question]]
name = "A"
gain = { from = "src", to = "c" }
"""
