"""Screenshots of workbooks for human eyes, and how long each slider takes: ``python tests/browser/look.py 01``.

Writes ``screenshots/<workbook>-<width>-<part>.png`` and prints, for every slider, the median time from key
press to new picture in milliseconds.
"""

import statistics
import sys
from pathlib import Path

import lab
from playwright.sync_api import sync_playwright

OUT = Path(__file__).resolve().parents[2] / "screenshots"


def photograph(page, stem):
    """The whole notebook, in page-high parts."""
    box = page.locator(".jp-WindowedPanel-outer").first
    height = box.evaluate("e => e.scrollHeight")
    step = box.evaluate("e => e.clientHeight") - 40
    for part, top in enumerate(range(0, height, step)):
        box.evaluate("(e, t) => { e.scrollTop = t; }", top)
        page.wait_for_timeout(150)
        page.screenshot(path=OUT / f"{stem}-{part:02d}.png")


def times(page):
    """Median milliseconds per slider, over a dozen key presses."""
    for explorer, sliders in enumerate(lab.slider_times(page, 12)):
        for number, took in enumerate(sliders):
            shown = f"{statistics.median(took):5.0f} ms of {len(took)}" if took else "    no change"
            print(f"  explorer {explorer} slider {number}: {shown}")


def main(names):
    """Photograph the named workbooks, or all."""
    OUT.mkdir(exist_ok=True)
    books = [p.name for p in sorted(lab.WORKBOOKS.glob("*.ipynb")) if not names or any(n in p.name for n in names)]
    with lab.lab_server() as server, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=lab.browser_path(), args=lab.FLAGS)
        for name in books:
            for width in (1280, 800):
                page = browser.new_page(viewport={"width": width, "height": 800})
                lab.open_workbook(page, server, name)
                print(name, width, lab.errors(page) or "clean")
                lab.predict_all(page)
                if width == 1280:
                    times(page)
                photograph(page, f"{Path(name).stem}-{width}")
                page.close()
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
