"""All benchmarks in one table: ``python tests/benchmarks/run.py``.

Every time stands beside that of a general library doing the same work in the same run, so a ratio
does not depend on the machine as a time does. Switches:

--browser   also open every workbook in a headless Chromium and time each explorer, key press to new picture
--write     put the tables between their marks in measured.md beside this file
"""

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
GUIDE = HERE / "measured.md"
NONE = "no general library does this"
TARGET, HEAVY_TARGET = 100, 400                 # ms, from key press to new picture
HEAVY = ("A year without air and with it", "A winter without air and with it")


def run_benchmarks():
    """Run every bench file; gives one record for each benchmark."""
    with tempfile.TemporaryDirectory() as folder:
        found = Path(folder) / "times.json"
        files = [str(path) for path in sorted(HERE.glob("bench_*.py"))]
        made = subprocess.run([sys.executable, "-m", "pytest", "-q", "-n", "0", "--benchmark-only",
                               f"--benchmark-json={found}", *files], cwd=ROOT)
        if made.returncode:
            raise SystemExit("a benchmark failed: see above")
        return json.loads(found.read_text(encoding="utf-8"))["benchmarks"]


def joined(records):
    """Rows of (what, our seconds, seconds of the library or None, its name)."""
    ours, theirs = {}, {}
    for record in records:
        info, seconds = record["extra_info"], record["stats"]["median"]
        if info.get("side") == "ours":
            ours[info["what"]] = seconds
        elif info.get("side") == "library":
            theirs[info["what"]] = (seconds * info["times"], info["name"])
    lost = sorted(set(theirs) - set(ours))
    if lost:
        raise SystemExit(f"these have a library beside them but nothing of ours: {', '.join(lost)}")
    return [(what, seconds, *theirs.get(what, (None, NONE))) for what, seconds in ours.items()]


def shown(seconds):
    """Text of a time at three figures."""
    return f"{1000 * seconds:.3g} ms" if seconds < 1 else f"{seconds:.3g} s"


def speed_table(rows):
    """Markdown of the joined rows; a ratio above 1 means that ours is the quicker."""
    lines = ["| what | ours | general library, same run | ratio |", "| --- | --- | --- | --- |"]
    for what, ours, theirs, name in rows:
        beside = name if theirs is None else f"{shown(theirs)} ({name})"
        lines.append(f"| {what} | {shown(ours)} | {beside} | {'' if theirs is None else f'{theirs / ours:.2g}'} |")
    return "\n".join(lines)


def browser_times():
    """Rows of (workbook, title of the explorer, median milliseconds over its sliders or None)."""
    sys.path.insert(0, str(ROOT / "tests" / "browser"))
    import lab
    from playwright.sync_api import sync_playwright
    if lab.browser_path() is None:
        raise SystemExit("no Chromium on this machine, so no browser times")
    rows = []
    with lab.lab_server() as server, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=lab.browser_path(), args=lab.FLAGS)
        for book in sorted(lab.WORKBOOKS.glob("*.ipynb")):
            page = browser.new_page(viewport={"width": 1280, "height": 900})
            lab.open_workbook(page, server, book.name)
            lab.predict_all(page)
            titles = page.eval_on_selector_all(
                ".pond-explorer", "found => found.map(e => e.querySelector('b').textContent)")
            for title, sliders in zip(titles, lab.slider_times(page, 6), strict=True):
                each = [statistics.median(took) for took in sliders if took]
                rows.append((book.name[:2], title, statistics.median(each) if each else None))
            page.close()
        browser.close()
    return rows


def browser_table(rows):
    """Markdown of the browser times against their targets."""
    lines = ["| workbook | explorer | median, ms | target, ms | met |", "| --- | --- | --- | --- | --- |"]
    for book, title, took in rows:
        target = HEAVY_TARGET if title in HEAVY else TARGET
        told = "no slider changed the picture" if took is None else f"{took:.0f}"
        lines.append(f"| {book} | {title} | {told} | {target} | {'yes' if took and took < target else 'no'} |")
    return "\n".join(lines)


def write(name, table):
    """Put a table between its marks in the guide."""
    text = GUIDE.read_text(encoding="utf-8")
    begin, end = f"<!-- {name} -->", f"<!-- end of {name} -->"
    if begin not in text or end not in text:
        raise SystemExit(f"{GUIDE.name} has no marks {begin} and {end}")
    head, tail = text.split(begin, 1)[0], text.split(end, 1)[1]
    GUIDE.write_text(f"{head}{begin}\n\n{table}\n\n{end}{tail}", encoding="utf-8")


def main(words=None):
    """Run, print, and write if asked."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--browser", action="store_true", help="also time every explorer in a browser")
    parser.add_argument("--write", action="store_true", help="put the tables into measured.md")
    wanted = parser.parse_args(words)
    tables = {"benchmarks": speed_table(joined(run_benchmarks()))}
    if wanted.browser:
        tables["slider times"] = browser_table(browser_times())
    for name, table in tables.items():
        print(f"\n{table}")
        if wanted.write:
            write(name, table)


if __name__ == "__main__":
    main()
