"""The section 'Other ways to run' of README.md, tried in a real browser; each needs its own extra installed."""

import importlib.util
import json
import shutil
import subprocess
import sys

import lab
import pytest
import ways

from pondcalc import record
from pondcalc.units import Q

pytestmark = pytest.mark.browser
NAMES = sorted(path.stem for path in lab.WORKBOOKS.glob("*.ipynb"))


def needs(module, extra):
    """Skip, saying why, where an extra is not installed."""
    return pytest.mark.skipif(importlib.util.find_spec(module) is None,
                              reason=f'{module} is not installed: pip install -e ".[{extra}]" to run this test')


def test_reading_pages_open_without_a_network(page, tmp_path):
    subprocess.run([sys.executable, ways.SERVE / "reading_pages.py", tmp_path], check=True, capture_output=True)
    for name in NAMES:
        page.set_viewport_size({"width": 800, "height": 900})
        page.goto((tmp_path / f"{name}.html").as_uri())
        assert page.locator("h1").count() == 1
        empty = page.eval_on_selector_all("img", "found => found.filter(i => !i.naturalWidth).length")
        too_wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth + 1")
        assert not empty and not too_wide, name
    assert page.outside == []


@needs("voila", "serve")
def test_served_pages_have_sliders_and_no_code(page, tmp_path):
    port = lab.free_port()
    home, command = f"http://127.0.0.1:{port}", [str(ways.copy_of_serve(tmp_path) / "served_pages.py")]
    record.rename("Pond of ada", "US", {"elevation": Q(1150, "ft")}, tmp_path / "workbooks" / "my-pond.json")
    more = ["--no-browser", f"--port={port}", "--token=cattail"]
    with ways.running([*command, *more], home, tmp_path) as (server, _):
        page.goto(f"{home}/voila/render/{NAMES[0]}.ipynb")
        assert "/login" in page.url, "a page opened without the token"
        page.goto(f"{home}/?token=cattail")
        assert page.locator("main li a").count() == len(NAMES)
        for name in NAMES:
            page.goto(f"{home}/voila/render/{name}.ipynb")
            page.wait_for_selector("#rendered_cells", state="visible", timeout=90_000)
            page.wait_for_selector("button:has-text('Record my prediction')", timeout=60_000)
            assert lab.errors(page) == [] and page.locator(".jp-InputArea-editor, .cm-editor").count() == 0
            assert "from pondcalc" not in page.content()
            if name == NAMES[0]:
                assert "Pond of ada" in page.inner_text("body"), "the page shows another record than the one there now"
            lab.predict_all(page)
            counts = lab.sliders(page)
            assert counts and all(any(lab.move_slider(page, explorer, number, key) for number in range(count)
                                      for key in ("ArrowRight", "ArrowLeft"))
                                  for explorer, count in enumerate(counts))
        assert page.outside == []
        if sys.platform == "linux":
            print("MB a page:", sorted(round(mb) for mb in ways.megabytes(server, "ipykernel_launcher").values()))


@needs("jupyterhub", "hub")
@pytest.mark.skipif(shutil.which("configurable-http-proxy") is None
                    and not (ways.ROOT / "build" / "hub" / "node_modules").exists(),
                    reason="configurable-http-proxy is not installed: see the command in README.md")
def test_hub_gives_each_learner_a_pond(browser, tmp_path):
    serve, port = ways.copy_of_serve(tmp_path), lab.free_port()
    if (ways.ROOT / "build" / "hub").exists():
        (tmp_path / "build").mkdir()
        (tmp_path / "build" / "hub").symlink_to(ways.ROOT / "build" / "hub")
    config = [f"load_subconfig({str(serve / 'jupyterhub_config.py')!r})", f"c.JupyterHub.hub_port = {lab.free_port()}",
              f"c.ConfigurableHTTPProxy.api_url = 'http://127.0.0.1:{lab.free_port()}'",
              "c.Spawner.args = [*c.Spawner.args, '--allow-root', '--LabApp.expose_app_in_browser=True']"]
    (tmp_path / "hub.py").write_text("\n".join(config))
    home, folder = f"http://127.0.0.1:{port}", tmp_path / "class"
    command = ["-m", "jupyterhub", "-f", "hub.py", f"--JupyterHub.bind_url={home}"]
    with ways.running(command, f"{home}/hub/login", tmp_path, POND_CLASS_PASSWORD="cattail",
                      POND_CLASS_FOLDER=str(folder)) as (server, _):
        for word, learner in (("wrong", "ada"), ("cattail", "ada"), ("cattail", "ben")):
            page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
            page.goto(f"{home}/hub/login")
            page.fill("#username_input", learner)
            page.fill("#password_input", word)
            page.click("#login_submit")
            if word == "wrong":
                page.wait_for_selector(".login_error", timeout=30_000)
                assert not (folder / "learners").exists()
                continue
            page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=120_000)
            lab.run_all(page)
            assert lab.errors(page) == []
            page.get_by_label("Name of the pond").fill(f"Pond of {learner}")
            page.get_by_label("Height above sea level").fill("1150 ft")
            page.get_by_text("Keep this as my pond").click()
            page.wait_for_timeout(1500)
            record = json.loads((folder / "learners" / learner / "my-pond.json").read_text())
            assert record["name"] == f"Pond of {learner}"
        kept = json.loads((folder / "learners" / "ada" / "my-pond.json").read_text())
        assert kept["name"] == "Pond of ada" and not (tmp_path / "workbooks" / "my-pond.json").exists()
        if sys.platform == "linux":
            print("MB by process:", sorted(round(mb) for mb in ways.megabytes(server, "").values()))


@needs("jupyterlite_pyodide_kernel", "lite")
def test_in_browser_site_opens_and_asks_only_for_pyodide(page, tmp_path):
    subprocess.run([sys.executable, ways.SERVE / "in_browser.py"], check=True, capture_output=True, timeout=300)
    port = lab.free_port()
    command = ["-m", "http.server", "--bind", "127.0.0.1", "--directory", str(ways.ROOT / "build/in-browser/site")]
    with ways.running([*command, str(port)], f"http://127.0.0.1:{port}/", tmp_path):
        page.goto(f"http://127.0.0.1:{port}/lab/index.html?path={NAMES[0]}.ipynb")
        page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=120_000)
        page.wait_for_selector(f".jp-DirListing-item[title*='{NAMES[0]}']", timeout=30_000)
        assert page.locator(".jp-DirListing-item").count() >= len(NAMES)
        page.wait_for_timeout(3000)
        assert all("/pyodide/v" in address for address in page.outside), page.outside
