"""Build a site that runs the workbooks inside the browser: ``python workbooks/instructor/serve/in_browser.py``.

The site goes into ``build/in-browser/site``: plain files that any web server can hand out; no Python runs on
the server. It holds the workbooks, this package and the small libraries. It does NOT hold Pyodide, the Python
that runs in a browser, nor Pyodide's numpy, scipy and matplotlib: each learner's browser fetches those
from Pyodide's own network, and without them no workbook of this set can run. ``--pyodide FOLDER`` puts a full
Pyodide distribution (version as printed) that you have fetched yourself into the site instead.
"""

import argparse
import importlib.metadata
import json
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat

WORKBOOKS = Path(__file__).resolve().parents[2]
ROOT = WORKBOOKS.parent
OUT = ROOT / "build" / "in-browser"
LAB_SETTINGS = ROOT / "pondcalc" / "lab" / "labconfig" / "default_setting_overrides.json"
# What Pyodide does not bring and is plain Python, at the versions in use here
CARRIED = ["pint", "flexcache", "flexparser", "platformdirs", "ipywidgets", "comm", "jupyterlab_widgets", "anywidget",
           "psygnal"]
FIRST_CELL = "%pip install -q pondcalc ipywidgets"
LEFT_OUT = {"instructor", ".ipynb_checkpoints"}


def run(*command, **options):
    """Run a tool of this Python; stop with its words if it fails."""
    done = subprocess.run([sys.executable, "-m", *command], **options)
    if done.returncode:
        sys.exit(f"{' '.join(command[:3])} failed; its message stands above.")


def wheels(folder):
    """This package and the small libraries as wheels of plain Python, whatever machine this runs on."""
    run("pip", "wheel", "-q", "--no-deps", "-w", str(folder), str(ROOT))
    pins = [f"{name}=={importlib.metadata.version(name)}" for name in CARRIED]
    plain = ["--only-binary=:all:", "--platform=any", "--implementation=py", "--abi=none"]
    run("pip", "download", "-q", "--no-deps", *plain, "-d", str(folder), *pins)


def contents(folder):
    """The workbooks, each with a first cell that brings the package into the browser."""
    for source in sorted(WORKBOOKS.rglob("*")):
        place = source.relative_to(WORKBOOKS)
        if source.is_dir() or LEFT_OUT & set(place.parts) or place.name.startswith("my-pond"):
            continue
        target = folder / place
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.suffix != ".ipynb":
            shutil.copyfile(source, target)
            continue
        book = nbformat.read(source, as_version=4)
        first = nbformat.v4.new_code_cell(FIRST_CELL, id="fetch", metadata={"jupyter": {"source_hidden": True}})
        book.cells.insert(0, first)
        nbformat.write(book, target)


def settings(folder):
    """No news and no other servers: the site asks only Pyodide's network, for Python itself."""
    shutil.copyfile(LAB_SETTINGS, folder / "overrides.json")
    (folder / "jupyter-lite.json").write_text(json.dumps({
        "jupyter-lite-schema-version": 0,
        "jupyter-config-data": {
            "appName": "Air for the pond",
            "litePluginSettings": {"@jupyterlite/pyodide-kernel-extension:kernel": {"disablePyPIFallback": True}},
        }}), encoding="utf-8")


def main(arguments=None):
    """Build, check, and say where it is."""
    ask = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    ask.add_argument("--pyodide", help="folder of a full Pyodide distribution to put into the site")
    chosen = ask.parse_args(arguments)
    try:
        from jupyterlite_pyodide_kernel.constants import PYODIDE_VERSION
    except ModuleNotFoundError:
        sys.exit('JupyterLite is not installed. In the folder of README.md: pip install -e ".[lite]"')
    shutil.rmtree(OUT, ignore_errors=True)
    lite = OUT / "lite"
    lite.mkdir(parents=True)
    settings(lite)
    wheels(lite / "pypi")
    contents(OUT / "contents")
    if chosen.pyodide:
        shutil.copytree(chosen.pyodide, lite / "static" / "pyodide")
    options = ["--lite-dir", str(lite), "--contents", str(OUT / "contents"), "--output-dir", str(OUT / "site"),
               "--apps", "lab", "--no-unused-shared-packages"]
    run("jupyterlite_core", "build", *options, cwd=lite)
    run("jupyterlite_core", "check", *options, cwd=lite)
    where = "Pyodide is in the site." if chosen.pyodide else (
        f"Each browser will fetch Pyodide {PYODIDE_VERSION} from the open internet.")
    print(f"\nBuilt and checked: {OUT / 'site'}\n{where}\nTry it: python -m http.server --bind 127.0.0.1 "
          f"--directory {OUT / 'site'} 8899")


if __name__ == "__main__":
    main()
