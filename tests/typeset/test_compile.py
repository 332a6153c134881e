"""Compilation is safe, bounded and reproducible."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from derive.errors import Defect, ToolMissing
from derive.typeset import compile_pdf, render

HEAD, TAIL = "\\documentclass{article}\n\\begin{document}\n", "\n\\end{document}\n"


def test_without_tex_the_tool_is_said_to_be_missing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(ToolMissing, match="pdflatex"):
        compile_pdf(HEAD + "x" + TAIL, {})
    assert ToolMissing.exit_status == 3


@pytest.mark.tex
def test_the_same_source_gives_the_same_bytes(
    sample: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = render(sample.document(), sample.SYMBOLS, sample.DEVICES)
    first = compile_pdf(sheet.tex, sheet.pictures)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    monkeypatch.chdir(tmp_path)
    assert compile_pdf(sheet.tex, sheet.pictures) == first


@pytest.mark.tex
def test_files_outside_are_not_read(tmp_path: Path, text_of: Callable[[bytes, Path], str]) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("tide-table-of-the-vault")
    for path in (str(secret), "/etc/passwd", "../" * 8 + "etc/passwd"):
        source = HEAD + rf"\newread\r\openin\r={path} \ifeof\r closed\else\read\r to\x\x open\fi" + TAIL
        try:
            text = text_of(compile_pdf(source, {}), tmp_path)
        except Defect:
            continue
        assert "open" not in text
        assert "tide" not in text


@pytest.mark.tex
def test_files_outside_are_not_written(tmp_path: Path) -> None:
    target = tmp_path / "written.txt"
    with pytest.raises(Defect):
        compile_pdf(HEAD + rf"\newwrite\w\immediate\openout\w={target} " + TAIL, {})
    assert not target.exists()


@pytest.mark.tex
def test_no_shell(tmp_path: Path) -> None:
    target = tmp_path / "run.txt"
    compile_pdf(HEAD + rf"\immediate\write18{{touch {target}}}x" + TAIL, {})
    assert not target.exists()


@pytest.mark.tex
def test_an_endless_macro_is_stopped() -> None:
    with pytest.raises(Defect, match="longer than 2 s"):
        compile_pdf(HEAD + r"\def\x{\x}\x" + TAIL, {}, seconds=2)


@pytest.mark.tex
def test_an_error_is_told_in_its_own_words() -> None:
    with pytest.raises(Defect, match=r"Undefined control sequence.*\\harbour"):
        compile_pdf(HEAD + r"\harbour" + TAIL, {})


@pytest.mark.tex
def test_an_overfull_line_is_a_defect() -> None:
    with pytest.raises(Defect, match="too wide"):
        compile_pdf(HEAD + r"\noindent\hbox to 3pt{wide}" + TAIL, {})


@pytest.mark.tex
def test_a_lost_character_is_a_defect() -> None:
    with pytest.raises(Defect, match="lacks a character"):
        compile_pdf(HEAD + r"\font\x=cmr10 \x\char200" + TAIL, {})


@pytest.mark.parametrize("name", ["../x.pdf", "x.tex", "", "a b.pdf", "/x.pdf", "x.pdf\n"])
@pytest.mark.tex
def test_a_picture_must_have_a_harmless_name(name: str) -> None:
    with pytest.raises(Defect, match="picture"):
        compile_pdf(HEAD + "x" + TAIL, {name: b""})


@pytest.mark.tex
def test_nothing_is_left_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    compile_pdf(HEAD + "x" + TAIL, {})
    assert os.listdir(tmp_path) == []
