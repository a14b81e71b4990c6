"""The other ways to run the workbooks: pages for reading, and what starts the served pages, the hub and the site."""

import importlib.util
import json
import re
import tomllib
from html.parser import HTMLParser
from pathlib import Path

import nbformat
import pytest

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
