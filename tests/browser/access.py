"""What a reader without a mouse, without sight, or with a narrow window meets: helpers for the browser tests."""

from functools import cache

import lab
from axe_playwright_python.sync_playwright import Axe

# JupyterLab's own, on every notebook; nothing in a workbook can mend them: (rule, part of the element's text)
JUPYTERLAB = (
    ("aria-required-children", 'role="feed"'),            # the list of cells is a feed whose cells are not articles
    ("button-name", "jp-collapseHeadingButton"),          # the arrow that folds a heading has no words
)


@cache
def _axe():
    return Axe()


def violations(page, within=None):
    """Serious and critical findings of axe-core, as (rule, element), JupyterLab's own left out."""
    context = {"include": [[within]]} if within else None
    found = _axe().run(page, context=context, options={"resultTypes": ["violations"]}).response["violations"]
    return [(rule["id"], node["html"][:200]) for rule in found if rule["impact"] in ("serious", "critical")
            for node in rule["nodes"] if not any(rule["id"] == known and part in node["html"]
                                                 for known, part in JUPYTERLAB)]


def answer_all(page):
    """Pick an option or type a number in every question, check it, and compare every prediction."""
    page.evaluate("""() => document.querySelectorAll('.pond-question').forEach(panel => {
        const pick = panel.querySelector(':scope > .widget-radio input:enabled');
        const box = panel.querySelector('input[type=text]');
        if (pick) pick.click();
        if (box) { box.value = '3 ft'; box.dispatchEvent(new Event('change', {bubbles: true})); }
        panel.querySelectorAll('details').forEach(more => { more.open = true; });
        [...panel.querySelectorAll('button')].filter(b => ['Check', 'Compare with my prediction'].includes(
            b.textContent.trim())).forEach(b => b.click()); })""")
    page.wait_for_function("""[...document.querySelectorAll('.pond-question')].every(panel =>
        [...panel.querySelectorAll('[role=status]')].some(s => /Right|Not quite|number|unit/.test(s.textContent)))""",
                           timeout=20_000)


def says(page, explorer):
    """Alternative text of an explorer's picture, and its sentence."""
    panel = page.locator(".pond-explorer").nth(explorer)
    return (panel.locator("[role=img]").first.get_attribute("aria-label"),
            panel.locator("[role=status]").first.text_content())


def follows(page, explorer, number):
    """Whether a slider changes its picture, and whether both kinds of words change too.

    A small step may leave the message as it is, so larger ones are tried after it. The slider stays where it was moved.
    """
    before = says(page, explorer)
    moved = any(lab.move_slider(page, explorer, number, key) for key in ("ArrowRight", "ArrowLeft", "ArrowLeft",
                                                                         "ArrowRight"))

    def spoke():
        """The words come after the picture, so where they are still the old ones, wait and look again."""
        def new():
            return all(old != now for old, now in zip(before, says(page, explorer), strict=True))
        if not new():
            lab.settle(page)
        return new()
    return moved, spoke() or any(lab.move_slider(page, explorer, number, key) and spoke()
                                 for key in ("PageUp", "Home", "End"))


def sliders_without_words(page):
    """Sliders that speak no name or no value."""
    return page.eval_on_selector_all(".pond-explorer input[type=range]", """found => found.filter(
        e => (e.getAttribute('aria-label') || '').length < 4 || !(e.getAttribute('aria-valuetext') || '').startsWith(
            e.closest('.pond-slider').querySelector('input[type=number]').value)).map(e => e.outerHTML)""")


def small_or_cut(page, least):
    """Words in pictures that are smaller on the screen than `least` pixels, or that stick out of their picture."""
    return page.evaluate("""least => [...document.querySelectorAll('.pond-explorer [role=img] svg')].flatMap(svg => {
        const frame = svg.getBoundingClientRect(), scale = frame.width / svg.viewBox.baseVal.width;
        return [...svg.querySelectorAll('text')].filter(text => {
            const box = text.getBoundingClientRect();
            return box.width && (parseFloat(getComputedStyle(text).fontSize) * scale < least
                || box.left < frame.left - 1 || box.right > frame.right + 1
                || box.top < frame.top - 1 || box.bottom > frame.bottom + 1);
        }).map(text => text.textContent.trim() + ' in ' + svg.parentElement.getAttribute('aria-label').slice(0, 40)); })
        """, least)
