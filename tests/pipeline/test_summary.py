"""The summary: two pages, and nothing that the worksheet has not."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from derive.command import app
from derive.derivation.analyse import analyse, prepared_of
from derive.description.reader import read
from derive.document.compose.summary import LEANEST, TALL, summary
from derive.document.compose.worksheet import compose
from derive.document.records import Ledger, Picture
from derive.explain.insight import Insight, explanations_of
from derive.pipeline import devices_of
from derive.sketch import sketch
from derive.summarise import PAGES, summarised
from derive.typeset.page import A4

WORKED = Path(__file__).parents[2] / "worked"
TEX = pytest.mark.skipif(shutil.which("pdflatex") is None, reason="TeX is missing")


def test_the_answers_are_those_of_the_worksheet() -> None:
    analysis = analyse(read(WORKED / "rain_gauge_stage.toml"))
    drawing = sketch(analysis.circuit, analysis.bias)
    insight = Insight(explanations_of(prepared_of(analysis)), None, {})
    whole = compose(analysis, (), {}, insight, drawing)  # type: ignore[arg-type]
    for leaner in range(LEANEST + 1):
        short = summary(analysis, {}, insight, drawing, leaner)  # type: ignore[arg-type]
        ledgers = [block for block in short.blocks if isinstance(block, Ledger)]
        assert ledgers == [next(block for block in whole.blocks if isinstance(block, Ledger))]
        assert [block.tall for block in short.blocks if isinstance(block, Picture)] == [TALL[leaner]]
        assert len(short.blocks) < len(whole.blocks)


@TEX
@pytest.mark.tex
@pytest.mark.parametrize("name", ["rain_gauge_stage", "tide_gauge_cascode"])
def test_it_has_two_pages(name: str) -> None:
    import pikepdf

    analysis = analyse(read(WORKED / f"{name}.toml"))
    insight = Insight(explanations_of(prepared_of(analysis)), None, {})
    drawing = sketch(analysis.circuit, analysis.bias)
    pdf = summarised(analysis, insight, {}, drawing, devices_of(analysis), A4)  # type: ignore[arg-type]
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert len(opened.pages) <= PAGES


@TEX
@pytest.mark.tex
def test_it_lies_beside_the_worksheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(WORKED / "tide_gauge_low_pass.toml", tmp_path / "low.toml")
    result = CliRunner().invoke(app, ["worksheet", "low.toml", "--summary", "--no-second-opinion", "--no-drawing"])
    assert result.exit_code == 0, result.output
    assert (tmp_path / "build/low/summary.pdf").read_bytes().startswith(b"%PDF")
