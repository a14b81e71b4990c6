"""Open workbooks in JupyterLab in a real browser: the server, and what a reader's hand does."""

import contextlib
import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

WORKBOOKS = Path(__file__).resolve().parents[2] / "workbooks"
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
HANDLE = "input[type=range]"
SETTINGS = {
    "@jupyterlab/notebook-extension/tracker.jupyterlab-settings": {"windowingMode": "none"},
}


def browser_path():
    """Where a Chromium is, or None."""
    return next((found for name in ("chromium", "chromium-browser", "google-chrome", "chrome")
                 if (found := shutil.which(name))), None)


def free_port():
    """A port that nothing listens on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


@contextlib.contextmanager
def lab_server():
    """The README's start command on a copy of the workbooks, on this machine only, with a token: url, token, folder."""
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "workbooks"
        shutil.copytree(WORKBOOKS, folder, ignore=shutil.ignore_patterns(".ipynb_checkpoints", "my-pond*"))
        for name, body in SETTINGS.items():
            place = Path(home) / "settings" / name
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_text(json.dumps(body))
        port = free_port()
        token = secrets.token_hex(16)
        surroundings = os.environ | {
            "JUPYTERLAB_SETTINGS_DIR": str(Path(home) / "settings"), "JUPYTER_CONFIG_DIR": f"{home}/config",
            "JUPYTER_RUNTIME_DIR": f"{home}/run", "JUPYTERLAB_WORKSPACES_DIR": f"{home}/spaces"}
        root = ["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        with open(Path(home) / "log", "w") as log:
            server = subprocess.Popen(
                [sys.executable, "-m", "pondcalc", str(folder / "00-start-here.ipynb"), "--no-browser", *root,
                 f"--port={port}", "--ip=127.0.0.1", f"--IdentityProvider.token={token}",
                 "--LabApp.expose_app_in_browser=True"],
                env=surroundings, stdout=log, stderr=subprocess.STDOUT)
            try:
                wait_for(f"http://127.0.0.1:{port}/api/status?token={token}", server, Path(home) / "log")
                yield f"http://127.0.0.1:{port}", token, folder
            finally:
                server.terminate()
                with contextlib.suppress(subprocess.TimeoutExpired):
                    server.wait(10)
                server.kill()


def wait_for(url, server, log):
    """Wait until a server that was just started answers; its log is told if it does not."""
    for _ in range(300):
        if server.poll() is not None:
            raise RuntimeError(f"the server stopped: {log.read_text()[-2000:]}")
        with contextlib.suppress(urllib.error.URLError, ConnectionError):
            urllib.request.urlopen(url, timeout=2).close()
            return
        time.sleep(0.2)
    raise RuntimeError("the server did not answer within a minute")


def open_workbook(page, server, name):
    """Open a workbook, run every cell and wait until nothing is running."""
    url, token, _ = server
    page.goto(f"{url}/lab/tree/{name}?token={token}&reset", wait_until="domcontentloaded")
    page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=90_000)
    run_all(page)


def run_all(page):
    """Run every cell of the workbook that is open and wait until nothing is running."""
    page.wait_for_function("window.jupyterapp && window.jupyterapp.shell.currentWidget"
                           " && window.jupyterapp.shell.currentWidget.sessionContext"
                           " && window.jupyterapp.shell.currentWidget.sessionContext.isReady", timeout=90_000)
    page.evaluate(UNANSWERED)
    # the command's promise settles when the last cell has run (prompts say nothing: code is folded away)
    page.evaluate("async () => { await window.jupyterapp.commands.execute('notebook:run-all-cells'); }")
    page.wait_for_timeout(600)


def errors(page):
    """Text of every error, warning or missing widget shown on the page."""
    return page.eval_on_selector_all(
        "[data-mime-type='application/vnd.jupyter.stderr'], [data-mime-type='application/vnd.jupyter.error'],"
        ".jupyter-widgets-error-widget, .jp-RenderedMermaid.jp-mod-warning",
        "found => found.map(e => e.textContent.trim()).filter(t => t)")


def predict_all(page):
    """Answer each prediction with its first option, so that the sliders appear."""
    buttons = "[...document.querySelectorAll('button')].filter(b => b.textContent.startsWith('Record my prediction'))"
    page.evaluate(buttons + ".forEach(b => b.closest('.widget-vbox').querySelector('input[type=radio]').click())")
    page.wait_for_function(buttons + ".every(b => !b.disabled)", timeout=20_000)
    page.evaluate(buttons + ".forEach(b => b.click())")
    page.wait_for_function(buttons + ".every(b => b.disabled && b.closest('.widget-vbox')"
                           ".querySelector('.pond-explorer [role=img]'))", timeout=20_000)
    page.wait_for_timeout(300)


def switch_units(page, explorer, system):
    """Press US or metric in one explorer and wait until the whole page has followed."""
    panel = page.locator(".pond-explorer").nth(explorer)
    panel.get_by_label(system, exact=True).check()
    settle(page)


UNANSWERED = """() => {
    window.unanswered = new Set();
    window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.anyMessage.connect((_, {msg, direction}) => {
        if (direction === 'send' && msg.header.msg_type === 'comm_msg') window.unanswered.add(msg.header.msg_id);
        if (direction === 'recv' && msg.header.msg_type === 'status' && msg.content.execution_state === 'idle')
            window.unanswered.delete(msg.parent_header.msg_id); });
}"""


def settle(page):
    """Wait until the kernel has dealt with everything the page told it, and the page with the answer."""
    page.wait_for_function("window.unanswered.size === 0", timeout=20_000)
    page.wait_for_timeout(200)


def reading(page, explorer):
    """What one explorer says, and what stands in its boxes."""
    return page.evaluate("""n => { const panel = document.querySelectorAll('.pond-explorer')[n];
        return [panel.querySelector('[role=status]').textContent,
                [...panel.querySelectorAll('input[type=number]')].map(i => i.value)]; }""", explorer)


WATCH = """panel => {
  const picture = [...panel.querySelectorAll('.widget-html-content')].find(w => w.querySelector('[role=img]'));
  const before = picture.innerHTML;
  window.moved = new Promise(done => {
    let pressed = null;
    window.addEventListener('keydown', () => { pressed = performance.now(); }, {capture: true, once: true});
    const watch = new MutationObserver(() => {
      if (picture.innerHTML !== before) { watch.disconnect(); done(performance.now() - pressed); } });
    watch.observe(picture, {childList: true, subtree: true, characterData: true});
    setTimeout(() => { watch.disconnect(); done(null); }, 4000);
  });
}"""


def move_slider(page, explorer, number, key="ArrowRight"):
    """Press a key on a slider; milliseconds until the picture changed, or None if it did not."""
    panel = page.locator(".pond-explorer").nth(explorer)
    handle = panel.locator(HANDLE).nth(number)
    value = handle.input_value()
    handle.focus()
    panel.evaluate(WATCH)
    page.keyboard.press(key)
    return page.evaluate("window.moved") if handle.input_value() != value else None      # at its end it stays


def sliders(page):
    """How many sliders each explorer on the page has."""
    return page.eval_on_selector_all(".pond-explorer",
                                     f"found => found.map(e => e.querySelectorAll('{HANDLE}').length)")


def slider_times(page, presses):
    """Milliseconds from key press to new picture, for each explorer and slider those of `presses` that showed."""
    return [[[took for n in range(presses)
              if (took := move_slider(page, explorer, number, ("ArrowRight", "ArrowLeft")[n % 2])) is not None]
             for number in range(count)] for explorer, count in enumerate(sliders(page))]
