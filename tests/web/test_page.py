"""The page: well-formed, whole, closed to the network, and nothing of an author's in it unescaped."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from typing import get_args
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from derive.document.records import (
    Block,
    Code,
    Column,
    Document,
    Heading,
    Node,
    Notice,
    Paragraph,
    Strong,
    Table,
    TitleBlock,
)
from derive.errors import Defect
from derive.web.outline import outline
from derive.web.page import BLOCKS, STRUCTURE, render
from tests.typeset import sample
from tests.web import samples

VOID = {"meta", "br", "input", "link", "hr", "img"}
NAMES = ["tide_gauge_low_pass", "rain_gauge_stage", "tide_gauge_mirror", "echo_sounder_amplifier"]
OUTSIDE = r"https?://|url\((?!#clip)|@import|\bfetch\(|XMLHttpRequest|\beval\(|new Function"
ODD = "<>&\"'/!-abscript={}%#\u202e\x00\x1b"
EVIL = '</style></script><script>alert("x")</script><img src=x onerror=alert(1)>&amp;<!--'


class Balance(HTMLParser):
    """Checks that every element is closed where it was opened, that ids are unique and links lead somewhere."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"{tag} has an attribute twice"
        if tag not in VOID:
            self.open.append(tag)
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            if name == "href":
                self.links.append(value or "")

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag, f"</{tag}> does not close the innermost element"


def parsed(html: str) -> Balance:
    found = Balance()
    found.feed(html)
    found.close()
    assert found.open == []
    return found


def whole(title: str = "A sheet", purpose: str = "") -> Document:
    fields = TitleBlock(title, purpose, None, "N-1", "1", None, "An author", None, "en")
    return Document(fields, sample.document().blocks, (("derive", "0"), ("description, sha256", "00")))


@pytest.mark.parametrize("name", NAMES)
def test_a_worked_page_is_well_formed_and_leads_nowhere_else(name):
    found = parsed(samples.page(name))
    assert len(found.ids) == len(set(found.ids))
    assert {link.lstrip("#") for link in found.links} <= set(found.ids)
    addressed = [(tag, attrs) for tag, attrs in found.tags if {"src", "action", "data"} & attrs.keys()]
    assert addressed == []
    # The name of a space of names is no address.
    assert not re.search(OUTSIDE, samples.page(name).replace('xmlns="http://www.w3.org/2000/svg"', ""))


@pytest.mark.parametrize("name", NAMES)
def test_mathematics_and_pictures_are_well_formed_xml(name):
    page = samples.page(name)
    fragments = re.findall(r"<math.*?</math>|<svg.*?</svg>", page, re.DOTALL)
    assert len(fragments) > 20
    for fragment in fragments:
        ElementTree.fromstring(fragment)


ROWS = {"mfrac": 2, "msub": 2, "msup": 2, "msubsup": 3}


@pytest.mark.parametrize("name", NAMES)
def test_mathematics_has_the_children_that_its_elements_want(name):
    for fragment in re.findall(r"<math.*?</math>", samples.page(name), re.DOTALL):
        for element in ElementTree.fromstring(fragment).iter():
            if element.tag in ROWS:
                assert len(element) == ROWS[element.tag], fragment
            if element.tag in ("mi", "mn", "mo"):
                assert (element.text or "").strip()
                assert not len(element)


def test_landmarks_headings_and_language():
    found = parsed(samples.page("rain_gauge_stage"))
    tags = [tag for tag, _ in found.tags]
    assert found.tags[0] == ("html", {"lang": "en"})
    for landmark in ("header", "nav", "main", "footer", "h1"):
        assert tags.count(landmark) == 1, landmark
    levels = [int(tag[1]) for tag in tags if re.fullmatch("h[1-6]", tag)]
    assert all(after - before <= 1 for before, after in pairwise(levels))
    heads = [attrs for tag, attrs in found.tags if tag == "th"]
    assert heads
    assert all(attrs.get("scope") in ("col", "row") for attrs in heads)
    pictures = [attrs for tag, attrs in found.tags if tag == "svg"]
    assert all(attrs["role"] == "img" and attrs["aria-label"] for attrs in pictures)


def test_every_kind_of_block_is_shown():
    """A kind that is added to the document has to be added to the page."""
    assert set(get_args(Block)) == set(BLOCKS) | set(STRUCTURE)


def test_an_unknown_kind_of_block_is_refused():
    with pytest.raises(Defect, match="no way to show"):
        render(replace(whole(), blocks=(object(),)))  # type: ignore[arg-type]


def test_the_sample_of_all_blocks():
    html = render(whole(), sample.SYMBOLS, sample.DEVICES)
    found = parsed(html)
    assert {"table", "svg", "ol", "aside", "details"} <= {tag for tag, _ in found.tags}


def test_blocks_before_the_first_section_open_the_page():
    parts = outline([Paragraph(("a",)), Heading(1, ("b",)), Paragraph(("c",)), Heading(2, ("d",)), Paragraph(("e",))])
    assert [len(part.blocks) for part in parts] == [1, 1]
    assert len(parts[1].parts) == 1


def hostile(text: str) -> Document:
    words = (text, Node(text), Code(text), Strong(text))
    table = Table((Column((text,)),), ((words,),), caption=(text,))
    blocks = (Notice("warning", words), Heading(1, words, text), Paragraph(words), Heading(2, words), table)
    title = TitleBlock(text, text, text, text, text, text, text, text, "en", text)
    return Document(title, blocks, ((text, text),))


SCRIPTS = len(parsed(render(hostile("plain"))).tags)


@given(st.one_of(st.just(EVIL), st.text(st.sampled_from(ODD), max_size=40).map("x".__add__)))
@settings(max_examples=60, deadline=None)
def test_no_text_of_an_author_becomes_an_element(text):
    html = render(hostile(text))
    found = parsed(html)
    tags = [tag for tag, _ in found.tags]
    assert len(tags) == SCRIPTS
    assert tags.count("script") == 1
    assert not any(name.startswith("on") for _, attrs in found.tags for name in attrs)
    assert not set(html) & set("\u202e\x00\x1b")
