"""The teaching kit in a real browser: sheets print on three pages or fewer, slides fit and ask no network."""

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


SMALLEST = 9.2          # CSS px, 6.9 points: printed results; a page more is better than smaller letters
POINT = 96 / 72         # CSS px
LETTERS = """() => { const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) if (walk.currentNode.textContent.trim())
    found.push(parseFloat(getComputedStyle(walk.currentNode.parentElement).fontSize));
  return Math.min(...found); }"""


def printed_pages(page):
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(prefer_css_page_size=True)))


@pytest.mark.parametrize("path", SHEETS, ids=lambda p: p.stem)
def test_a_sheet_prints_on_three_pages_at_most(page, path):
    page.goto(path.as_uri())
    assert 1 <= printed_pages(page) <= 3
    assert page.evaluate(LETTERS) >= SMALLEST - 0.01
    assert page.outside == []


def test_questions_and_hints_are_not_torn_apart_where_they_fit_on_a_page(page, kit, tmp_path):
    for book in kit.read_books():
        path = tmp_path / f"{book.name}.html"
        path.write_text(kit.kit_pages.worksheet(book), encoding="utf-8")
        page.goto(path.as_uri())
        parts = page.locator("section.whole")
        assert parts.count() >= 3 and "Your turn" in parts.nth(2).inner_text()
        assert parts.evaluate_all("found => found.every(e => getComputedStyle(e).breakInside === 'avoid')"), book.name


def test_what_to_do_tonight_prints_on_one_page_in_letters_of_nine_and_a_half_points(page):
    page.goto(next(path for path in SHEETS if path.stem == "fish-gasping-tonight").as_uri())
    assert printed_pages(page) == 1
    assert page.evaluate(LETTERS) >= 9.5 * POINT - 0.01


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
