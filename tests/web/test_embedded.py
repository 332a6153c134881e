"""Pictures of a drawing library within a page."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

import pytest

from derive.errors import Defect
from derive.web.embedded import embedded


@pytest.fixture(scope="module")
def drawn() -> str:
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context({"svg.hashsalt": "0"}):
        figure = Figure(figsize=(3, 2))
        axes = figure.add_axes((0.2, 0.2, 0.7, 0.7))
        axes.plot([1, 2, 3], [1, 4, 9])
        buffer = io.StringIO()
        figure.savefig(buffer, format="svg", metadata={"Date": None})
    return buffer.getvalue()


def test_a_picture_becomes_an_element_with_names_of_its_own(drawn):
    first, second = (str(embedded(drawn, name, 'an "error"')) for name in ("figure1", "figure2"))
    ElementTree.fromstring(first)
    assert 'aria-label="an &#34;error&#34;"' in first
    names = [set(re.findall(r'\bid="([^"]+)"', svg)) for svg in (first, second)]
    assert names[0]
    assert not names[0] & names[1]
    for svg, known in zip((first, second), names, strict=True):
        assert set(re.findall(r'(?:href="#|url\(#)([^")]+)', svg)) <= known
    assert "metadata" not in first


EVIL = ["<script>1</script>", '<a onload="x"/>', '<image href="http://x"/>', "<foreignObject/>"]


@pytest.mark.parametrize("evil", EVIL)
def test_what_could_run_is_refused(evil):
    with pytest.raises(Defect):
        embedded(f'<svg viewBox="0 0 1 1">{evil}</svg>', "figure1", "words")


def test_what_is_no_picture_is_refused():
    for text in ("<p>no</p>", "<svg></svg>"):
        with pytest.raises(Defect):
            embedded(text, "figure1", "words")
