"""The teaching kit in a real browser: sheets print on two pages, slides fit and ask no network."""

import importlib
import re
import sys

import lab
import pytest

pytestmark = pytest.mark.browser
SHEETS = sorted((lab.WORKBOOKS / "worksheets").glob("*.html"))


@pytest.fixture(scope="module")
def kit():
    sys.path.insert(0, str(lab.WORKBOOKS / "instructor"))
    yield importlib.import_module("make_kit")
    sys.path.remove(str(lab.WORKBOOKS / "instructor"))


@pytest.mark.parametrize("path", SHEETS, ids=lambda p: p.stem)
def test_a_sheet_prints_on_two_pages_at_most(page, path):
    page.goto(path.as_uri())
    printed = page.pdf(prefer_css_page_size=True)
    assert 1 <= len(re.findall(rb"/Type\s*/Page\b", printed)) <= 2
    assert page.outside == []


@pytest.mark.parametrize("size", [(1280, 720), (1024, 768)])
def test_slides_fit_turn_and_ask_no_network(page, kit, tmp_path, size):
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for book in kit.read_books():
        path = tmp_path / f"{book.name}.html"
        path.write_text(kit.kit_slides.deck(book), encoding="utf-8")
        page.goto(path.as_uri())
        count = page.locator("section").count()
        for number in range(1, count + 1):
            assert page.locator(".foot").text_content() == f"{number} / {count}"
            on = page.locator("section.on")
            assert on.count() == 1
            fits = on.evaluate("e => e.scrollHeight <= innerHeight + 1 && e.scrollWidth <= innerWidth + 1")
            assert fits, f"{book.name}, slide {number}"
            assert on.evaluate("e => [...e.querySelectorAll('img')].every(i => i.naturalWidth > 0)")
            page.keyboard.press("ArrowRight")
    assert page.outside == []
