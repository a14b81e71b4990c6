"""The type hints of what everybody uses are true: mypy finds nothing, with the settings of pyproject.toml."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def checked(*words, cache):
    return subprocess.run([sys.executable, "-m", "mypy", "--cache-dir", str(cache), *words], cwd=ROOT,
                          capture_output=True, text=True)


def test_hints_hold_and_a_wrong_one_would_be_found(tmp_path):
    pytest.importorskip("mypy", reason="mypy, which checks the hints, is not installed")
    whole = checked(cache=tmp_path)
    assert whole.returncode == 0, whole.stdout
    wrong = tmp_path / "wrong.py"
    wrong.write_text("from pondcalc.units import parse_unit\nparse_unit(3.5)\n", encoding="utf-8")
    found = checked("--follow-imports", "silent", str(wrong), cache=tmp_path)
    assert found.returncode == 1 and 'expected "str"' in found.stdout


def test_nothing_is_hidden_from_it():
    blanket = [path.name for path in (ROOT / "pondcalc").rglob("*.py")
               if "# type: ignore" in path.read_text(encoding="utf-8") or "# mypy:" in path.read_text(encoding="utf-8")]
    assert blanket == []
