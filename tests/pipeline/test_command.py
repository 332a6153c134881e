"""The command line as a user meets it: files, messages, exit statuses."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from derive.command import app

WORKED = sorted((Path(__file__).parents[2] / "worked").glob("*.toml"))
DIVIDER = """
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "3 kΩ", between = ["in", "out"] }
R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
"""


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def call(*arguments: str):
        return CliRunner().invoke(app, list(arguments))

    return call


def test_a_starter_makes_a_worksheet_as_it_stands(run):
    assert run("start", "buoy").exit_code == 0
    result = run("worksheet", "buoy.toml", "--no-pdf", "--no-second-opinion")
    assert result.exit_code == 0, result.output
    assert sorted(p.name for p in Path("build/buoy").iterdir() if p.suffix != ".pdf") == [
        "made.json",
        "record.json",
        "worksheet.html",
        "worksheet.tex",
    ]


def test_a_starter_never_overwrites(run):
    run("start", "buoy")
    Path("buoy.toml").write_text("mine")
    result = run("start", "buoy.toml")
    assert result.exit_code == 2
    assert "exists already" in result.output
    assert Path("buoy.toml").read_text() == "mine"


@pytest.mark.parametrize("name", ["../out", "a/b", "", ".hidden", "x" * 70, "a b", "$(id)"])
def test_a_starter_refuses_names_that_are_paths(run, name):
    assert run("start", name).exit_code == 2
    assert list(Path().iterdir()) == []


def test_a_wrong_description_leaves_the_earlier_output(run):
    Path("a.toml").write_text(DIVIDER)
    assert run("worksheet", "a.toml", "--no-pdf", "--no-second-opinion").exit_code == 0
    before = {p.name: p.read_bytes() for p in Path("build/a").iterdir()}
    Path("a.toml").write_text(DIVIDER.replace("3 kΩ", "3 kF"))
    result = run("worksheet", "a.toml", "--no-pdf", "--no-second-opinion")
    assert result.exit_code == 2
    assert "a.toml, line 4" in result.output
    assert {p.name: p.read_bytes() for p in Path("build/a").iterdir()} == before
    assert [p.name for p in Path("build").iterdir()] == ["a"]


def test_one_bad_file_does_not_stop_the_others(run):
    Path("good.toml").write_text(DIVIDER)
    Path("bad.toml").write_text("[parts")
    result = run("worksheet", "bad.toml", "missing.toml", "good.toml", "--no-pdf", "--no-second-opinion")
    assert result.exit_code == 2
    assert Path("build/good/record.json").exists()
    assert "bad.toml" in result.output
    assert "missing.toml" in result.output


def test_two_files_of_one_stem_are_refused(run):
    for folder in ("x", "y"):
        Path(folder).mkdir()
        Path(folder, "a.toml").write_text(DIVIDER)
    result = run("worksheet", "x/a.toml", "y/a.toml", "--no-pdf", "--no-second-opinion")
    assert result.exit_code == 2
    assert "rename one" in result.output


def test_a_false_statement_is_told_and_gives_status_one(run):
    Path("a.toml").write_text(DIVIDER + '[[assume]]\nthat = "R1 >> R2"\n[[assume]]\nthat = "R2 -> inf"\n')
    result = run("worksheet", "a.toml", "--no-pdf", "--no-second-opinion")
    assert result.exit_code == 1
    assert "false" in result.output
    record = json.loads(Path("build/a/record.json").read_text())
    assert [a["verdict"] for a in record["assumptions"]] == ["weak", "false"]


def test_without_tex_the_source_is_written_and_the_status_is_three(run, monkeypatch):
    monkeypatch.setattr("derive.typeset.compile.shutil.which", lambda _: None)
    Path("a.toml").write_text(DIVIDER)
    result = run("worksheet", "a.toml", "--no-second-opinion")
    assert result.exit_code == 3
    assert "pdflatex" in result.output
    assert "install TeX Live" in result.output
    assert Path("build/a/worksheet.tex").exists()
    assert Path("build/a/worksheet.html").read_text("utf-8").endswith("</html>")
    assert "build/a/worksheet.html" in result.output


def test_an_output_that_is_a_file_is_refused(run):
    Path("a.toml").write_text(DIVIDER)
    Path("build").mkdir()
    Path("build/a").write_text("mine")
    result = run("worksheet", "a.toml", "--no-pdf", "--no-second-opinion")
    assert result.exit_code == 2
    assert Path("build/a").read_text() == "mine"


@pytest.mark.tex
def test_specials_in_every_text_come_out_as_text(run):
    wild = r"\\input{/etc/passwd} 100 % & # $ ~ ^ _ { } <b>x</b> \\write18{id} Ω µ − ≫ 😀"
    text = f'[about]\ntitle = "{wild}"\npurpose = "{wild}"\nauthor = "{wild}"\nrevision = "{wild}"\n' + DIVIDER
    text += f'[[assume]]\nthat = "R1 >> R2"\nbecause = "{wild}"\nname = "{wild}"\n'
    Path("a.toml").write_text(text)
    result = run("worksheet", "a.toml", "--no-second-opinion")
    assert result.exit_code == 0, result.output
    tex = Path("build/a/worksheet.tex").read_text()
    assert r"\input{/etc" not in tex
    assert r"\write18" not in tex


@pytest.mark.tex
@pytest.mark.parametrize("path", WORKED, ids=lambda p: p.stem)
def test_worked_examples_are_made_and_confirmed(run, path):
    result = run("worksheet", str(path))
    assert result.exit_code == 0, result.output
    folder = Path("build") / path.stem
    record = json.loads((folder / "record.json").read_text())
    assert set(record["second_opinion"].values()) == {"confirmed"}
    assert (folder / "worksheet.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.tex
def test_same_input_same_bytes(run, tmp_path):
    path = next(p for p in WORKED if "low_pass" in p.name)
    for folder in ("one", "two"):
        assert run("worksheet", str(path), "--output", folder).exit_code == 0
    first, second = (tmp_path / folder / path.stem for folder in ("one", "two"))
    assert {p.name: p.read_bytes() for p in first.iterdir()} == {p.name: p.read_bytes() for p in second.iterdir()}


def test_help_is_quick_and_imports_nothing_heavy():
    heavy = "{'sympy','lcapy','matplotlib','scipy','flint','numpy'}"
    code = f"import sys, derive.command; print(len({heavy} & set(sys.modules)))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "0"
    best = 9.0
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "derive", "--help"], capture_output=True, check=True)
        best = min(best, time.perf_counter() - start)
    assert best < 1.5, "half a second on a quiet machine; three times that on a loaded one"
