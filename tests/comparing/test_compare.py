"""Variants of a description and two descriptions side by side."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from derive.compare import compare
from derive.description.reader import read_options
from derive.errors import DescriptionError
from tests.description.samples import DIVIDER

WORKED = Path(__file__).parents[2] / "worked"
VARIANTS = """
[[criterion]]
name = "half"
of = "A"
at_least = 0.5
[variant.lower]
says = "less of it"
parts.R2 = { resistor = "500 Ω", between = ["out", "gnd"] }
[variant.more]
parts.R3 = { resistor = "2 kΩ", between = ["out", "gnd"] }
[variant.through]
short = ["R1"]
[choice]
question = "Which divider?"
decision = "more"
because = "it is there"
"""


def options(folder: Path, text: str) -> Path:
    path = folder / "options.toml"
    path.write_text(DIVIDER + text, encoding="utf-8")
    return path


def test_each_variant_is_a_circuit_of_its_own(tmp_path: Path) -> None:
    circuits, choice, said = read_options(options(tmp_path, VARIANTS))
    assert list(circuits) == ["as described", "lower", "more", "through"]
    assert circuits["lower"].parts["R2"].values["resistance"].value == 500
    assert set(circuits["more"].parts) - set(circuits["as described"].parts) == {"R3"}
    assert said["lower"] == "less of it"
    assert choice is not None
    assert circuits["as described"].wanted.variants == ("lower", "more", "through")


def test_the_numbers_of_variants(tmp_path: Path) -> None:
    """Dividers by hand: 2/3, 1/3, 1/2, 1; the chosen one meets its criterion."""
    spoken: list[str] = []
    assert compare([options(tmp_path, VARIANTS)], tmp_path / "build", False, spoken.append, spoken.append) == 0
    record = json.loads((tmp_path / "build" / "options-compared" / "record.json").read_text(encoding="utf-8"))
    found = {name: one["answers"]["A"]["spot"]["exact"][0] for name, one in record["circuits"].items()}
    assert found == pytest.approx({"as described": 2 / 3, "lower": 1 / 3, "more": 0.5, "through": 1.0})
    met = {name: one["criteria"][0]["met"] for name, one in record["circuits"].items()}
    assert met == {"as described": True, "lower": False, "more": True, "through": True}
    assert set(record["parts"]) == {"R1", "R2", "R3"}
    assert record["parts"]["R1"]["through"] == "shorted, in to out"
    assert record["choice"]["decision"] == "more"
    same = next(one for one in record["steps"] if one["against"] == "lower")
    assert same["only_first"] == same["only_other"] == []


def test_a_chosen_option_that_misses_a_criterion(tmp_path: Path) -> None:
    path = options(tmp_path, VARIANTS.replace('decision = "more"', 'decision = "lower"'))
    spoken: list[str] = []
    assert compare([path], tmp_path / "build", False, spoken.append, spoken.append) == 1
    assert "misses a criterion" in spoken[-1]


def test_two_descriptions(tmp_path: Path) -> None:
    first, second = (tmp_path / name for name in ("one.toml", "two.toml"))
    first.write_text(DIVIDER, encoding="utf-8")
    second.write_text(DIVIDER.replace("1 kΩ", "6 kΩ"), encoding="utf-8")
    assert compare([first, second], tmp_path, False, lambda _: None, lambda _: None) == 0
    record = json.loads((tmp_path / "one-and-two" / "record.json").read_text(encoding="utf-8"))
    assert record["circuits"]["two"]["answers"]["A"]["spot"]["exact"][0] == pytest.approx(0.25)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[variant.one]\n", ["variant one", "changes nothing"]),
        ('[variant.one]\nremove = ["R9"]\n', ["line 10", "no part R9"]),
        ('[variant.one]\nparts.R1 = { resistor = "1 kF", between = ["in", "out"] }\n', ["line 10", "R1", "ohms"]),
        ('[variant.one]\nremove = ["R1"]\nparts.R1 = { resistor = "1", between = ["in", "out"] }\n', ["both"]),
        ('[variant.one]\nsay = "x"\nremove = ["R1"]\n', ["variant one", "says"]),
        ('[variant."a b"]\nremove = ["R1"]\n', ["no name for a variant"]),
        ('[variant.one]\nremove = ["R1", "R2"]\n', ["variant one: ", "out"]),
        ('[[assume]]\nthat = "R1 >> R2"\n[variant.one]\nremove = ["R1"]\nparts.R3 = { resistor = "1 kΩ", between = '
         '["in", "out"] }\n', ["variant one: ", "R1"]),
        ('[choice]\nquestion = "?"\ndecision = "two"\nbecause = "x"\n', ["no variant", "as described"]),
        ("", ["no [variant.NAME]"]),
    ],
)
def test_what_is_refused(text: str, words: list[str], tmp_path: Path) -> None:
    with pytest.raises(DescriptionError) as caught:
        compare([options(tmp_path, text)], tmp_path, False, lambda _: None, lambda _: None)
    assert all(word in str(caught.value) for word in words), str(caught.value)


@pytest.mark.tex
def test_the_worked_options(tmp_path: Path) -> None:
    spoken: list[str] = []
    assert compare([WORKED / "rain_gauge_options.toml"], tmp_path, True, spoken.append, spoken.append) == 0
    assert (tmp_path / "rain_gauge_options-compared" / "comparison.pdf").read_bytes().startswith(b"%PDF")


def test_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from typer.testing import CliRunner

    from derive.command import app

    monkeypatch.chdir(tmp_path)
    options(tmp_path, VARIANTS)
    run = CliRunner().invoke
    assert run(app, ["compare", "options.toml", "--no-pdf"]).exit_code == 0
    assert (tmp_path / "build" / "options-compared" / "comparison.tex").is_file()
    assert run(app, ["compare", "gone.toml"]).exit_code == 2
    assert run(app, ["compare", "a.toml", "b.toml", "c.toml"]).exit_code == 2
