"""Each workbook, in a real browser: it runs clean, and every slider changes its picture."""

import lab
import pytest

pytestmark = pytest.mark.browser
NAMES = sorted(path.name for path in lab.WORKBOOKS.glob("*.ipynb"))


@pytest.mark.parametrize("name", NAMES)
def test_workbook_runs_and_sliders_move(page, server, name):
    lab.open_workbook(page, server, name)
    assert lab.errors(page) == []
    lab.predict_all(page)
    counts = lab.sliders(page)
    assert counts, "no explorer on the page"
    dead = []
    for explorer, count in enumerate(counts):
        for number in range(count):
            moved = [lab.move_slider(page, explorer, number, key)
                     for key in ("ArrowRight", "ArrowLeft", "ArrowLeft", "ArrowRight")]
            if not any(moved):
                dead.append((explorer, number))
    assert dead == [], f"sliders that changed nothing (explorer, slider): {dead}"
    assert lab.errors(page) == []
    speaks = page.eval_on_selector_all(".pond-explorer [role=img]", "e => e.map(i => i.getAttribute('aria-label'))")
    assert len(speaks) == len(counts) and all(len(words) > 40 for words in speaks)
    assert page.outside == [], "the workbook asked the open internet for something"


@pytest.mark.parametrize("name", NAMES)
def test_workbook_fits_a_narrow_window(page, server, name):
    page.set_viewport_size({"width": 800, "height": 900})
    lab.open_workbook(page, server, name)
    lab.predict_all(page)
    too_wide = page.evaluate("""() => [...document.querySelectorAll('.pond-explorer')].filter(
        e => [...e.querySelectorAll('[role=img] svg, .widget-html-content')].some(
            w => w.getBoundingClientRect().right > e.closest('.jp-Notebook').getBoundingClientRect().right + 1))
        .length""")
    assert too_wide == 0


def test_units_switch_relabels_and_keeps_the_pond(page, server):
    lab.open_workbook(page, server, NAMES[0])
    lab.predict_all(page)
    first = page.locator(".pond-explorer").first
    before = first.locator("[role=status]").inner_text()
    first.locator("button:has-text('metric')").click()
    page.wait_for_timeout(1500)
    metric = first.locator("[role=status]").inner_text()
    assert metric != before and "(m" in first.inner_text()
    first.locator("button:has-text('US')").click()
    page.wait_for_timeout(1500)
    assert first.locator("[role=status]").inner_text() == before
