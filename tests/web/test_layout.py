"""The page in a browser: nothing is wider than the window, the keyboard reaches what folds and slides."""

from __future__ import annotations

import re

import pytest

from tests.web import samples

MEASURE = "document.title=[document.documentElement.scrollWidth,innerWidth].join(' ');"
PRESS = (
    "const f=[...document.querySelectorAll('details.fold')];"
    "const at=f.map(d=>d.querySelector('summary').tabIndex);"
    "document.getElementById('fold').click();const shut=f.filter(d=>!d.open).length;"
    "const k=f.findLastIndex(d=>d.querySelector('.row'));location.hash='#'+f[k].querySelector('.row').id;"
    "setTimeout(()=>{document.title=[at.every(t=>t===0),shut===f.length,f[k].open,f[0].open].join(' ')},200);"
)


def title(dom: str) -> str:
    return re.search("<title>(.*?)</title>", dom).group(1)


@pytest.mark.parametrize("name", ["tide_gauge_low_pass", "rain_gauge_stage"])
@pytest.mark.parametrize("width", [500, 900, 1400])
def test_nothing_is_wider_than_the_window(browser, name, width):
    """500 is as narrow as a window of this browser gets."""
    dom = browser.dom(samples.page(name), MEASURE, f"--window-size={width},900")
    content, window = map(int, title(dom).split())
    assert content <= window


def test_steps_fold_by_keyboard_and_open_where_a_link_leads(browser):
    assert title(browser.dom(samples.page("rain_gauge_stage"), PRESS)) == "true true true false"


def test_the_page_prints_whole(browser, tmp_path):
    """Folded steps are opened for print: as many pages as with nothing folded."""
    sizes = []
    for place, script in enumerate(("", "document.getElementById('fold').click();")):
        target = tmp_path / f"{place}.pdf"
        page = browser.page(samples.page("tide_gauge_low_pass"), script)
        browser.run(page, "--no-pdf-header-footer", f"--print-to-pdf={target}")
        sizes.append(len(re.findall(rb"/Type /Page\b", target.read_bytes())))
    assert sizes[0] == sizes[1] >= 2
