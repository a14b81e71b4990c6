"""The start command: it opens workbook 00, with settings of its own that stay its own."""

import json
import os
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

from pondcalc import __main__ as start

ROOT = Path(__file__).resolve().parent.parent
OURS = ROOT / "pondcalc" / "lab"


def test_it_opens_the_first_workbook_and_passes_options_on():
    first = str(ROOT / "workbooks" / "00-start-here.ipynb")
    assert start.what_to_open([]) == [first]
    assert start.what_to_open(["--no-browser", "--port", "8899"]) == [first, "--no-browser", "--port", "8899"]


def test_another_workbook_or_folder_is_opened_instead(tmp_path):
    book = str(ROOT / "workbooks" / "04-back-pressure-and-line-size.ipynb")
    assert start.what_to_open([book, "--no-browser"]) == [book, "--no-browser"]
    assert start.what_to_open([str(tmp_path)]) == [str(tmp_path)]


def test_a_package_without_its_workbooks_says_so(monkeypatch, tmp_path):
    monkeypatch.setattr(start, "FIRST", tmp_path / "00-start-here.ipynb")
    with pytest.raises(SystemExit, match="Say which one to open"):
        start.what_to_open(["--no-browser"])


def test_settings_are_added_to_those_of_the_reader_and_change_nothing_else():
    assert start.with_our_settings({"HOME": "pond"}) == {"HOME": "pond", "JUPYTER_CONFIG_PATH": str(OURS)}
    theirs = {"JUPYTER_CONFIG_PATH": "theirs"}
    assert start.with_our_settings(theirs)["JUPYTER_CONFIG_PATH"] == os.pathsep.join(["theirs", str(OURS)])
    assert theirs == {"JUPYTER_CONFIG_PATH": "theirs"}


def test_jupyterlab_finds_no_news_and_the_readers_own_choice_wins(monkeypatch, tmp_path):
    settings = pytest.importorskip("jupyterlab_server.settings_utils", reason="JupyterLab is not installed: see README")
    app, own = tmp_path / "app", tmp_path / "own"
    schema = tmp_path / "schemas" / "@jupyterlab" / "apputils-extension" / "notification.json"
    schema.parent.mkdir(parents=True)
    schema.write_text(json.dumps({"type": "object", "properties": {
        "fetchNews": {"type": "string", "default": "none"}, "checkForUpdates": {"type": "boolean", "default": True}}}))
    name = "@jupyterlab/apputils-extension:notification"

    def shown():
        return settings.get_settings(str(app), str(tmp_path / "schemas"), str(own), name)[0]

    monkeypatch.delenv("JUPYTER_CONFIG_PATH", raising=False)
    assert shown()["schema"]["properties"]["fetchNews"]["default"] == "none"        # plain jupyter lab
    monkeypatch.setenv("JUPYTER_CONFIG_PATH", start.with_our_settings({})["JUPYTER_CONFIG_PATH"])
    ours = shown()
    assert ours["schema"]["properties"]["fetchNews"]["default"] == "false"
    assert ours["schema"]["properties"]["checkForUpdates"]["default"] is False and ours["settings"] == {}
    chosen = own / "@jupyterlab" / "apputils-extension" / "notification.jupyterlab-settings"
    chosen.parent.mkdir(parents=True)
    chosen.write_text(json.dumps({"fetchNews": "true"}))
    assert shown()["settings"] == {"fetchNews": "true"}


def test_readme_opens_with_this_command_and_installing_writes_nothing_beside_the_package():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for folder in (".venv/bin/", ".venv\\Scripts\\"):
        assert re.search(rf"(?m)pip install -q -r requirements\.txt && {re.escape(folder)}pond-workbooks$", readme)
    assert project["project"]["scripts"] == {"pond-workbooks": "pondcalc.__main__:main"}
    assert "shared-data" not in project["tool"]["hatch"]["build"]["targets"]["wheel"]


def test_the_wheel_holds_the_tables_and_not_the_scripts_that_made_them(tmp_path):
    pytest.importorskip("hatchling", reason="hatchling, which builds the wheel, is not installed")
    subprocess.run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", tmp_path], cwd=ROOT, check=True,
                   capture_output=True)
    names = zipfile.ZipFile(next(tmp_path.glob("*.whl"))).namelist()
    inside = {name.removeprefix("pondcalc/data/") for name in names if name.startswith("pondcalc/data/")}
    there = {path.relative_to(ROOT / "data").as_posix() for path in (ROOT / "data").rglob("*.*")
             if path.suffix in (".csv", ".json")}
    assert inside == there and {"pipe-sizes.csv", "questions/quiz.json"} <= inside
    assert "pondcalc/lab/labconfig/default_setting_overrides.json" in names
    outside = {name.split("/")[0] for name in names}
    assert {name for name in outside if not name.endswith(".dist-info")} == {"pondcalc"}, "it writes beside itself"
