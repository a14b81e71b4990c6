"""One browser and one JupyterLab for all browser tests; without a Chromium they say why they did not run."""

import lab
import pytest


@pytest.fixture(scope="session")
def browser():
    path = lab.browser_path()
    if path is None:
        pytest.skip("no Chromium on this machine: install one (Debian: apt install chromium) to run these tests")
    from playwright.sync_api import sync_playwright
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=path, args=lab.FLAGS)
        yield made
        made.close()


@pytest.fixture(scope="session")
def server():
    if lab.browser_path() is None:
        pytest.skip("no Chromium on this machine, so no server is started")
    with lab.lab_server() as running:
        yield running


@pytest.fixture
def page(browser):
    made = browser.new_page(viewport={"width": 1280, "height": 800})
    made.outside = []
    made.on("request", lambda request: made.outside.append(request.url)
            if request.url.startswith("http") and "//127.0.0.1" not in request.url else None)
    yield made
    made.close()
