"""What sellers write: each text beside the points, highest pressure and duty that a person reads in it.

The other ways to run the workbooks: pages for reading, and what starts the served pages, the hub and the site.
"""

import importlib.util
import json
import re
import tomllib
from html.parser import HTMLParser
from pathlib import Path

import nbformat
import pytest

from pondcalc import textfiles
from pondcalc.back_pressure import reach

PSI, CFM = 6894.757, 4.71947e-4     # 1 ft3 is 28.3168 L: 1 cfm is 28.3168 L/min, 60 ft3/h and 1.69901 m3/h
CURVE = [(0, 4.6), (5, 3.9), (10, 2.3)]


def said(text):
    told = reach.read_told(text)
    return told, [(p / PSI, q / CFM) for p, q in told.points]


@pytest.mark.parametrize("text, points, highest", [
    ("CFM at 10 PSI 2.3", [(10, 2.3)], None), ("CFM @ 10 PSI: 2.3", [(10, 2.3)], None),
    ("2.3 SCFM @ 10 PSIG", [(10, 2.3)], None), ("2.3CFM/10PSI", [(10, 2.3)], None),
    ("10 psi | 2.3 cfm", [(10, 2.3)], None), ("delivers 2.3 cfm at 10 psi", [(10, 2.3)], None),
    ("138 SCFH at 10 psi", [(10, 138 / 60)], None), ("65 lpm at 70 kPa", [(70 / 6.894757, 65 / 28.3168)], None),
    ("65,1 l/min @ 0,7 bar", [(70 / 6.894757, 65.1 / 28.3168)], None),
    ("3.9 m3/h at 700 mbar", [(70 / 6.894757, 3.9 / 1.69901)], None), ("2,3 cfm at 10 psi", [(10, 2.3)], None),
    ("2.3 cfm (65 L/min) at 10 psi (69 kPa)", [(10, 2.3)], None),
    ("3.9 cfm free air delivery at 10 psi", [(10, 3.9)], None),
    ("open flow 4.6 cfm, 3.9 at 5 psi, 2.3 at 10 psi", CURVE, None),
    ("4.6 cfm open, 3.9 cfm at 5 psi, 2.3 cfm at 10 psi", CURVE, None),
    ("CFM at 0 PSI 4.6, 5 PSI 3.9, 10 PSI 2.3", CURVE, None), ("0/5/10 psi 4.6/3.9/2.3 cfm", CURVE, None),
    ("4.6/3.9/2.3 cfm at 0/5/10 psi", CURVE, None), ("0 psi: 4.6 cfm; 5 psi: 3.9 cfm; 10 psi: 2.3 cfm", CURVE, None),
    ("10 psi = 2.3 cfm, 5 psi = 3.9 cfm\n4.6 cfm at 0 psi", CURVE, None),
    ("2.3 cfm at 10 psi, 15 psi max", [(10, 2.3)], 15), ("2.3 cfm at 10 psi (max. pressure 15 psi)", [(10, 2.3)], 15),
    # air in open air, "up to", or beside a highest pressure is air at no pressure: it promises nothing deeper
    ("4.6 cfm open flow", [(0, 4.6)], None), ("4.6 cfm (open flow), 15 psi max", [(0, 4.6)], 15),
    ("free air 4.6 cfm, max pressure 15 psi", [(0, 4.6)], 15), ("displacement 5.2 cfm", [(0, 5.2)], None),
    ("Air flow: 2.3 CFM, pressure: 15 PSI", [(0, 2.3)], 15), ("2.3 cfm\nrated 15 psi", [(0, 2.3)], 15),
    ("2.3 cfm at up to 10 psi", [(0, 2.3)], 10), ("2.3 cfm at max pressure 10 psi", [(0, 2.3)], 10),
    ("2.3 cfm at 10 psi max", [(0, 2.3)], 10), ("up to 2.3 cfm at 10 psi", [(0, 2.3)], None),
    ("2.3 cfm max at 10 psi", [(0, 2.3)], None),
    ("2.3 cfm at 10 psi (max)", [(0, 2.3)], 10), ("Pressure: 15 PSI Flow: 2.3 CFM", [(0, 2.3)], 15),
    ("~2.3 cfm at ~10 psi", [(10, 2.3)], None), ("10 PSI - 2.3 CFM", [(10, 2.3)], None),
    ("4.6 cfm (open flow), 2.3 cfm at 10 psi at 60 Hz", [(0, 4.6), (10, 2.3)], None),
    ("2.3 cfm at a pressure of 10 psi", [(10, 2.3)], None),
    # the highest pressure alone is no point: there the air may have ended
    ("max 15 psi", [], 15), ("maximum pressure 15 psi", [], 15), ("15 PSI max.", [], 15), ("shut-off 15 psi", [], 15),
    ("max 1 bar; up to 12 psi", [], 12)])
def test_points_and_highest_pressure_of_a_text(text, points, highest):
    told, found = said(text)
    assert found == [pytest.approx(point, rel=2e-3, abs=1e-9) for point in points]
    assert told.highest is None if highest is None else told.highest / PSI == pytest.approx(highest, rel=2e-3)


@pytest.mark.parametrize("text, duty", [
    ("2.3 cfm at 10 psi, 50% duty", "50% duty"),
    ("2.3 cfm at 10 psi (duty cycle: 75 percent)", "duty cycle: 75 percent"),
    ("2.3 cfm at 10 psi; 30 min on/30 off", "30 min on/30 off"),
    ("2.3 cfm at 10 psi, 1 h on, 1 h off", "1 h on, 1 h off"),
    ("2.3 cfm at 10 psi, not recommended for continuous duty", "not recommended for continuous duty"),
    ("2.3 cfm at 10 psi, 30 minutes on and 30 minutes off", "30 minutes on and 30 minutes off"),
    ("2.3 cfm at 10 psi intermittent duty", "intermittent duty"), ("intermittent\n10 psi, 2.3 cfm", "intermittent"),
    ("2.3 cfm at 10 psi; 15 psi max. intermittent duty", "intermittent duty"),
    ("2.3 cfm at 10 psi, not for continuous use", "not for continuous use"),
    ("2.3 cfm at 10 psi non-continuous", "non-continuous"),
    ("2.3 cfm at 10 psi, max. 8 hours a day", "max. 8 hours a day"),
    ("2.3 cfm at 10 psi, S3 40 %", "S3 40 %"),
    ("2.3 cfm at 10 psi, runs 15 min, rests 15 min", "runs 15 min, rests 15 min"),
    ("continuous at 5 psi, 50% duty; 2.3 cfm at 10 psi", None)])
def test_a_machine_that_must_rest_is_known_by_what_was_told(text, duty):
    if duty is None:        # the pressure at which it may run all the time has no air beside it: refused, not guessed
        with pytest.raises(textfiles.FieldDataError):
            reach.read_told(text)
        return
    told, points = said(text)
    assert told.rests and told.duty == duty and points == [pytest.approx((10, 2.3), rel=1e-4)]


@pytest.mark.parametrize("text", ["2.3 cfm at 10 psi, continuous duty", "2.3 cfm at 10 psi, 100% duty cycle",
                                  "2.3 cfm at 10 psi 24/7", "rated for continuous operation, 2.3 cfm at 10 psi",
                                  "2.3 cfm at 10 psi, 24 hours a day",
                                  "2.3 cfm at 10 psi, day and night", "2.3 cfm at 10 psi, S1 duty",
                                  "2.3 cfm at 10 psi, duty type S1"])
def test_a_machine_that_may_run_day_and_night(text):
    told, points = said(text)
    assert told.duty == reach.ALWAYS and not told.rests and points == [pytest.approx((10, 2.3), rel=1e-4)]


def test_the_weaker_word_counts_wherever_it_stands():
    told = reach.Told(((0.0, 1.0),), 9.0, reach.ALWAYS)
    assert told.joined(7.0, "", "50 % duty") == reach.Told(((0.0, 1.0),), 7.0, "50 % duty")
    assert told.joined(None, reach.ALWAYS) == told and reach.Told().joined() == reach.Told()


@pytest.mark.parametrize("text", ["2.3-2.6 cfm at 10 psi", "4.6 cfm, not at 10 psi", "2.3 cfm at 10 psia",
                                  "2.3 cfm at 10 inHg vacuum", "4 cfm at 15 ft", "2.3 cfm at 10 lbs", "15 psi",
                                  "3.9 @ 5 psi, 2.3 @ 10 psi", "4.6 cfm at", "2.3 cfm\n10 psi",
                                  "2.3 cfm at 10 psi, 5 psi", "pressure 5 psi, flow 3.9 cfm, pressure 10 psi"])
def test_what_may_mean_two_things_is_refused(text):
    with pytest.raises(textfiles.FieldDataError):
        reach.read_told(text)


ROOT = Path(__file__).resolve().parent.parent
SERVE = ROOT / "workbooks" / "instructor" / "serve"
NAMES = sorted(path.stem for path in (ROOT / "workbooks").glob("*.ipynb"))


def script(name):
    """One of the scripts in the folder `serve`, as a module."""
    spec = importlib.util.spec_from_file_location(name, SERVE / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def readme():
    """The section that names the commands."""
    return re.search(r"(?ms)^## Other ways to run$(.*?)^## ", (ROOT / "README.md").read_text(encoding="utf-8"))[1]


class Page(HTMLParser):
    """What a page shows, what it would fetch, and its pictures without words."""

    FETCHES = {"script": "src", "link": "href", "img": "src", "iframe": "src", "source": "src", "image": "href"}

    def __init__(self, text):
        super().__init__()
        self.tags, self.fetched, self.wordless, self.ids, self._quiet, words = [], [], [], [], 0, []
        self._words = words
        self.feed(text)
        self.words = "".join(words)

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        self.tags.append(tag)
        self._quiet += tag in ("style", "script")
        if "id" in given:
            self.ids.append(given["id"])
        wanted = given.get(self.FETCHES.get(tag, ""), "")
        if wanted and not wanted.startswith(("data:", "#")):
            self.fetched.append(wanted)
        if tag == "img" and not given.get("alt") or given.get("role") == "img" and not given.get("aria-label"):
            self.wordless.append(given)

    def handle_endtag(self, tag):
        self._quiet -= tag in ("style", "script")

    def handle_data(self, data):
        if not self._quiet:
            self._words.append(data)


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    out = tmp_path_factory.mktemp("reading")
    script("reading_pages").main(out)
    return {path.stem: path.read_text(encoding="utf-8") for path in out.glob("*.html")}


def test_there_is_a_page_for_each_workbook_and_a_list(pages):
    assert sorted(pages) == [*NAMES, "index"]
    assert all(f'href="{name}.html"' in pages["index"] for name in NAMES)


@pytest.mark.parametrize("name", [*NAMES, "index"])
def test_reading_page_fetches_nothing_runs_nothing_and_speaks(pages, name):
    page = Page(pages[name])
    assert "script" not in page.tags and page.fetched == []
    assert not re.search(r"@import|url\(\s*[\"']?(?!data:|#)", pages[name])
    assert page.wordless == []
    assert re.search(r'<html lang="en"', pages[name]) and page.tags.count("h1") == 1
    assert not re.search(r'href="[^":]*\.ipynb', pages[name])


@pytest.mark.parametrize("name", NAMES)
def test_reading_page_shows_the_outputs_and_no_code(pages, name):
    book, page = nbformat.read(ROOT / "workbooks" / f"{name}.ipynb", as_version=4), Page(pages[name])
    shown = re.sub(r"\s+", " ", page.words)
    for cell in book.cells:
        if cell.cell_type == "code":
            assert not [line for line in cell.source.splitlines() if line.strip() in page.words]
            for output in cell.outputs:
                if output.output_type == "stream":
                    assert re.sub(r"\s+", " ", output.text).strip() in shown
    assert pictures(book) == page.tags.count("svg") + page.tags.count("img")
    assert "In\xa0[" not in page.words and "Out[" not in page.words


def pictures(book):
    """How many pictures the stored outputs of a workbook hold."""
    return sum(len(re.findall("<svg|<img", output.get("data", {}).get("text/html", "")))
               for cell in book.cells for output in cell.get("outputs", []))


def test_the_workbooks_have_pictures_to_show():
    assert sum(pictures(nbformat.read(ROOT / "workbooks" / f"{name}.ipynb", as_version=4)) for name in NAMES) >= 4


def test_page_check_would_notice_code_and_outside_scripts():
    bad = Page('<html><script src="https://x.example/a.js"></script><img src="a.png"><p>print(1)</p></html>')
    assert bad.fetched == ["https://x.example/a.js", "a.png"] and bad.wordless and "print(1)" in bad.words


def test_served_pages_stay_on_this_computer_behind_a_token_without_code():
    options = script("served_pages").OPTIONS
    assert {"--Voila.ip=127.0.0.1", "--Voila.auto_token=True", "--strip_sources=True",
            "--preheat_kernel=False"} <= set(options)
    template = SERVE / "voila" / "templates" / "pond"
    assert json.loads((template / "conf.json").read_text()) == {"base_template": "lab"}
    assert not [path.name for path in template.iterdir() if re.search(r"https?:|//cdn", path.read_text())]


class Section(dict):
    """Settings by name, as a configuration file makes them."""

    def __getattr__(self, name):
        return self.setdefault(name, Section())

    def __setattr__(self, name, value):
        self[name] = value


@pytest.fixture
def hub(tmp_path, monkeypatch):
    """The hub's configuration, run on a copy so that the names it defines can be asked."""
    monkeypatch.setenv("POND_CLASS_FOLDER", str(tmp_path / "class"))
    monkeypatch.setenv("POND_CLASS_PASSWORD", "cattail")
    place, made = SERVE / "jupyterhub_config.py", Section()
    names = {"get_config": lambda: made, "__file__": str(place)}
    exec(compile(place.read_text(encoding="utf-8"), str(place), "exec"), names)
    return made, names


def test_hub_stays_on_this_computer_and_asks_for_the_password(hub, tmp_path, monkeypatch, capsys):
    made, names = hub
    assert made.JupyterHub.bind_url.startswith("http://127.0.0.1:")
    assert made.DummyAuthenticator.password == "cattail"
    assert made.SimpleLocalProcessSpawner.home_dir_template == str(tmp_path / "class" / "learners" / "{username}")
    monkeypatch.delenv("POND_CLASS_PASSWORD")
    first, second = names["password"](), names["password"]()
    assert first != second and len(first) >= 8 and first in capsys.readouterr().out
    for name in ("../ada", "ada/..", "Ada", "", "-a", "a" * 40):
        assert not re.fullmatch(made.Authenticator.username_pattern, name)
    assert re.fullmatch(made.Authenticator.username_pattern, "ada-2")


def test_each_learner_gets_copies_that_are_never_overwritten(hub, tmp_path):
    give, home = hub[1]["give_copies"], tmp_path / "ada"
    give(home)
    assert sorted(path.stem for path in home.glob("*.ipynb")) == NAMES
    assert not (home / "instructor").exists() and not list(home.rglob("my-pond*"))
    mine = home / f"{NAMES[0]}.ipynb"
    mine.write_text("my own work")
    (home / f"{NAMES[-1]}.ipynb").unlink()
    give(home)
    assert mine.read_text() == "my own work" and (home / f"{NAMES[-1]}.ipynb").exists()


def test_site_holds_the_workbooks_with_one_cell_more_and_asks_no_package_index(tmp_path):
    build = script("in_browser")
    build.contents(tmp_path / "contents")
    build.settings(tmp_path)
    assert sorted(path.stem for path in (tmp_path / "contents").glob("*.ipynb")) == NAMES
    for name in NAMES:
        ours = nbformat.read(ROOT / "workbooks" / f"{name}.ipynb", as_version=4)
        theirs = nbformat.read(tmp_path / "contents" / f"{name}.ipynb", as_version=4)
        assert theirs.cells[0].source == build.FIRST_CELL and theirs.cells[1:] == ours.cells
        nbformat.validate(theirs)
    kernel = json.loads((tmp_path / "jupyter-lite.json").read_text())["jupyter-config-data"]["litePluginSettings"]
    assert kernel["@jupyterlite/pyodide-kernel-extension:kernel"]["disablePyPIFallback"] is True


def test_site_carries_every_dependency_that_pyodide_does_not_bring():
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
    brought = {"numpy", "scipy", "matplotlib", "jinja2", "traitlets"}    # in the lock file of Pyodide 314.0.6
    assert {re.split(r"[<>=!~ ]", line)[0].lower() for line in wanted} <= brought | set(script("in_browser").CARRIED)


def test_readme_commands_name_files_and_extras_that_exist():
    section = readme()
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["optional-dependencies"]
    files = re.findall(r"workbooks/instructor/serve/[\w./-]+", section)
    assert {path.rpartition("/")[2] for path in files} >= {"reading_pages.py", "served_pages.py",
                                                           "jupyterhub_config.py", "in_browser.py", "README.md"}
    assert all((ROOT / path).exists() for path in files)
    assert {"serve", "hub", "lite"} <= set(re.findall(r"\[(\w+)\]\"", section)) & set(extras)


def test_what_is_built_is_not_tracked():
    ignored = (ROOT / ".gitignore").read_text().splitlines()
    assert "build/" in ignored and script("reading_pages").OUT.parent == ROOT / "build"
    assert script("in_browser").OUT.parent == ROOT / "build"
