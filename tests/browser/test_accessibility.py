"""Without a mouse and without sight: the keyboard reaches and changes everything; papers and pages name everything."""

import subprocess
import sys

import access
import lab
import pytest
import ways

from pondcalc import record
from pondcalc.your_plan import planparts

pytestmark = pytest.mark.browser
FOCUS = """() => {
    const at = document.activeElement, inside = at.closest('.pond-panel');
    const look = getComputedStyle(at), before = window.stops && window.stops.at(-1);
    if (!inside) return null;
    window.stops ||= [];
    if (window.stops.includes(at)) return {kind: 'again'};
    window.stops.push(at);
    const group = at.closest('.widget-radio');      // it stays; its buttons are made anew when the kernel sets them
    if (group) (group.visited ||= new Set()).add(at.value);
    const frame = at.getBoundingClientRect();
    return {kind: at.type || at.tagName, words: at.textContent.trim() || at.getAttribute('aria-label') || at.value,
            onward: !before || Boolean(before.compareDocumentPosition(at) & Node.DOCUMENT_POSITION_FOLLOWING),
            seen: look.outlineStyle !== 'none' && parseFloat(look.outlineWidth) >= 2
                  && frame.bottom > 0 && frame.top < innerHeight,
            asked: Boolean(at.closest('.pond-question > .widget-radio')), checked: at.checked};
}"""
VALUE = "document.activeElement.type === 'radio' ? document.activeElement.checked : document.activeElement.value"


def press(page, *keys):
    """Press one key after the other until the value of what has the focus is another one; say whether it is."""
    before = page.evaluate(VALUE)
    for key in keys:
        page.keyboard.press(key)
        if page.evaluate(VALUE) != before:
            return True
    return False


@pytest.mark.parametrize("name", ["00-start-here.ipynb", "04-back-pressure-and-line-size.ipynb"])
def test_tab_arrows_space_and_enter_are_enough(page, server, name):
    """Walk down a workbook with Tab; answer, move, switch and press whatever comes; nothing is missed or traps."""
    lab.open_workbook(page, server, name)
    cells = page.locator(".jp-Cell").count()
    stuck, unseen, backward = [], [], []
    page.locator(".jp-Notebook .jp-Cell").first.focus()
    for _ in range(800):
        page.keyboard.press("Tab")
        at = page.evaluate(FOCUS)
        if not at:                              # links and JupyterLab's own stand between our controls
            continue
        if at["kind"] == "again":               # once round the page
            break
        unseen += [] if at["seen"] else [at]
        backward += [] if at["onward"] else [at]
        if at["kind"] == "range":
            changed = press(page, "ArrowRight", "ArrowLeft") and press(page, "PageUp", "PageDown")
        elif at["kind"] == "select-one":
            changed = press(page, "ArrowDown", "ArrowUp")
        elif at["kind"] == "radio":
            changed = at["checked"] or press(page, "Space")
            if at["asked"]:                 # the button to record it wakes up once the kernel has heard
                page.wait_for_function("[...window.stops.at(-1).closest('.pond-question').querySelectorAll("
                                       "':scope > button')].every(b => !b.disabled)", timeout=10_000)
        elif at["kind"] == "number":
            changed = press(page, "ArrowUp", "ArrowDown")
        elif at["kind"] in ("text", "textarea"):
            page.keyboard.type("3 ft")
            changed = page.evaluate(VALUE).endswith("3 ft")
        else:
            page.keyboard.press("Enter" if at["kind"] == "submit" else "Space")
            changed = True
            if at["words"].startswith("Record my prediction"):
                page.wait_for_function("window.stops.at(-1).disabled && window.stops.at(-1).closest('.pond-question')"
                                       ".querySelector('.pond-explorer [role=img]')", timeout=10_000)
        stuck += [] if changed else [at]
    for kept in server[2].glob("my-pond*"):     # the buttons that save were pressed too
        kept.unlink()
    assert (stuck, unseen, backward) == ([], [], [])
    missed = page.eval_on_selector_all(".pond-panel :is(input, textarea, select, button, summary):not(:disabled)", """
        found => found.filter(e => !window.stops.includes(e) && e.offsetParent
                              && !e.closest('.widget-radio')?.visited?.has(e.value)).map(e => e.outerHTML)""")
    assert missed == []
    assert page.locator(".jp-Cell").count() == cells, "a key meant for a control changed the cells"
    assert page.locator(".pond-question button:text('Record my prediction'):enabled").count() == 0
    assert not page.eval_on_selector_all(".pond-explorer .widget-radio", "e => e.some(r => !r.querySelectorAll('input')"
                                         "[1].checked)"), "a switch to metric units did not take"
    assert lab.errors(page) == []


def test_typed_numbers_stand_and_the_handle_goes_on_from_its_step(page, server):
    lab.open_workbook(page, server, "01-how-much-water.ipynb")
    lab.predict_all(page)
    panel = page.locator(".pond-explorer", has_text="Water level below full")
    box, handle = panel.locator("input[type=number]"), panel.locator(lab.HANDLE)
    number = page.locator(".pond-explorer").evaluate_all("found => found.findIndex(e => "
                                                         "e.textContent.includes('Water level below full'))")

    def stands(value):
        panel.get_by_text(value).first.wait_for(timeout=5000)
    box.fill("3.14")
    box.press("Enter")
    stands("the water 3.1 ft below full")
    assert box.input_value() == "3.14" and handle.get_attribute("aria-valuetext") == "3.14 ft"
    for _ in range(2):
        lab.switch_units(page, number, "metric")
        assert handle.get_attribute("aria-valuetext") == "0.9571 m"        # 3.14 ft x 0.3048
        lab.switch_units(page, number, "US")
        assert box.input_value() == "3.14"
    handle.press("ArrowRight")                  # the handle rests on its nearest step, 3.1
    assert box.input_value() == "3.2"
    stands("the water 3.2 ft below full")
    end = float(box.get_attribute("max"))

    def note():
        return panel.locator(f"output#{box.get_attribute('aria-describedby')}").text_content()
    assert note() == ""
    box.fill("99")
    box.press("Enter")
    assert float(box.input_value()) == end and note() == f"The scale ends at {end:g} ft; 99 was set to {end:g}."
    assert access.violations(page, ".pond-explorer") == []
    box.fill("-3")
    box.press("Enter")
    assert float(box.input_value()) == 0 and note() == "The scale begins at 0 ft; -3 was set to 0."
    box.fill("2")
    box.press("Enter")
    assert note() == ""
    box.fill("99")
    box.press("Enter")
    handle.press("ArrowLeft")
    assert note() == "" and float(box.input_value()) < end
    lab.switch_units(page, number, "metric")
    box.fill("99")
    box.press("Enter")
    assert note() == "The scale ends at {0} m; 99 was set to {0}.".format(box.get_attribute("max"))
    lab.switch_units(page, number, "US")
    assert note() == ""
    held = box.input_value()
    box.fill("")
    box.press("Enter")
    assert box.input_value() == held and note() == f"That is no number; {held} ft stays."
    box.fill("")
    box.type("1 m")                             # a box of numbers drops the letter
    box.press("Enter")
    assert box.input_value() == "1" and note() == "Read as 1 ft: only a number can stand here."
    panel.get_by_role("button", name="Reset").click()
    lab.settle(page)
    assert note() == ""


def test_plan_sheet_worksheet_and_reading_page_name_everything(page, tmp_path):
    sheet = tmp_path / "sheet.html"
    sheet.write_text(planparts.sheet_html(planparts.whole_plan(record.demo()), "Ada", "shed is near"), encoding="utf-8")
    subprocess.run([sys.executable, ways.SERVE / "reading_pages.py", tmp_path], check=True, capture_output=True)
    reading = sorted(tmp_path.glob("0*.html"))[1]
    for path in (sheet, reading, sorted((lab.WORKBOOKS / "worksheets").glob("*.html"))[-1]):
        page.goto(path.as_uri())
        assert access.violations(page) == [], path.name
