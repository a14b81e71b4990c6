"""Each workbook, in a real browser: it runs clean, and every slider changes its picture."""

import access
import lab
import pytest

pytestmark = pytest.mark.browser
NAMES = sorted(path.name for path in lab.WORKBOOKS.glob("*.ipynb"))


@pytest.mark.parametrize("name", NAMES)
def test_workbook_runs_moves_switches_units_and_fits(page, server, name):
    """One visit: no error, every slider moves its picture, units change nothing else, a narrow window cuts nothing."""
    lab.open_workbook(page, server, name)
    assert lab.errors(page) == []
    lab.predict_all(page)
    counts = lab.sliders(page)
    assert counts, "no explorer on the page"
    assert access.violations(page, ".jp-Notebook") == []
    assert access.sliders_without_words(page) == []
    found = {(explorer, number): access.follows(page, explorer, number)
             for explorer, count in enumerate(counts) for number in range(count)}
    dead = [where for where, (moved, _) in found.items() if not moved]
    assert dead == [], f"sliders that changed nothing (explorer, slider): {dead}"
    silent = [where for where, (_, spoke) in found.items() if not spoke]
    assert silent == [], f"sliders whose picture changed and whose words did not: {silent}"
    assert access.sliders_without_words(page) == []
    everything = range(len(counts))
    before = [lab.reading(page, explorer) for explorer in everything]
    lab.switch_units(page, 0, "metric")
    metric = [lab.reading(page, explorer) for explorer in everything]
    for explorer in everything:                 # from wherever the click comes, all follow and nothing drifts
        lab.switch_units(page, explorer, "US")
        assert [lab.reading(page, n) for n in everything] == before, f"from explorer {explorer}"
        lab.switch_units(page, explorer, "metric")
        assert [lab.reading(page, n) for n in everything] == metric, f"from explorer {explorer}"
    assert page.eval_on_selector_all(".pond-explorer .widget-radio", "e => e.every(r => r.querySelectorAll('input')"
                                     "[1].checked)"), "a switch on the page stands on US"
    lab.switch_units(page, 0, "US")
    access.answer_all(page)
    assert access.violations(page, ".pond-question") == []
    assert lab.errors(page) == []
    assert page.outside == [], "the workbook asked the open internet for something"
    page.set_viewport_size({"width": 800, "height": 900})
    page.wait_for_timeout(500)
    cut = page.eval_on_selector_all(".pond-explorer button", "e => e.filter(b => b.scrollWidth > b.clientWidth + 1)"
                                    ".map(b => b.textContent)")
    assert cut == [], f"buttons whose words are cut off: {cut}"
    too_wide = page.evaluate("""() => [...document.querySelectorAll('.pond-explorer')].filter(
        e => [...e.querySelectorAll('[role=img] svg, .widget-html-content')].some(
            w => w.getBoundingClientRect().right > e.closest('.jp-Notebook').getBoundingClientRect().right + 1))
        .length""")
    assert too_wide == 0
    page.evaluate("window.jupyterapp.commands.execute('application:toggle-left-area')")     # the list of files
    page.wait_for_timeout(500)
    assert access.small_or_cut(page, 8.8) == []


def test_own_pond_from_form_to_plan(page, server):
    """Start a pond, upload its soundings, save, and find it in workbook 08."""
    data = lab.WORKBOOKS.parent / "data"
    lab.open_workbook(page, server, "00-start-here.ipynb")
    page.get_by_label("Name of the pond").fill("North")
    page.get_by_label("Height above sea level").fill("10 psi")
    page.get_by_role("button", name="Keep this as my pond").click()
    page.get_by_text("cannot be 10 psi").wait_for(timeout=10_000)
    page.get_by_label("Height above sea level").fill("900 ft")
    page.get_by_role("button", name="Keep this as my pond").click()
    page.get_by_text("units US. Next: workbook 01").wait_for(timeout=10_000)
    lab.open_workbook(page, server, "08-your-plan.ipynb")
    assert "North has no “water” yet" in page.locator(".jp-Notebook").inner_text()
    assert lab.errors(page) == []
    lab.open_workbook(page, server, "01-how-much-water.ipynb")
    for words, name in (("Soundings (CSV)", "demo-soundings.csv"), ("Shoreline (CSV)", "demo-shoreline.csv")):
        with page.expect_file_chooser() as chooser:
            page.get_by_role("button", name=words).click()
        chooser.value.set_files(data / name)
        page.get_by_text(name).first.wait_for(timeout=10_000)
    page.get_by_role("button", name="Work it out").first.click()
    page.locator("[aria-label^='Depth map of your pond']").wait_for(timeout=20_000)
    page.get_by_role("button", name="Save to my pond").first.click()
    page.get_by_text("Saved “water” of North").wait_for(timeout=10_000)
    lab.open_workbook(page, server, "08-your-plan.ipynb")
    assert "Now in use: North. Found and saved so far: water" in page.locator(".jp-Notebook").inner_text()
    assert (server[2] / "my-pond.json.bak").exists()
    (server[2] / "my-pond.json").unlink()
