"""What every workbook must have. That its numbers are right is nbval's job; this asks that there are some to check."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

FOLDER = Path(__file__).resolve().parent.parent / "workbooks"
PATHS = sorted(FOLDER.glob("*.ipynb"))
IGNORE = "nbval-ignore-output"
PARTS = ["What you will decide", "Words", "The pond in the story", "Predict first", "Worked example", "Explore",
         "Explain", "Your turn", "Cautions", "What this leaves out", "Key points", "Sources"]


@pytest.fixture(params=PATHS, ids=lambda p: p.stem)
def book(request):
    return nbformat.read(request.param, as_version=4)


def code(book):
    return [cell for cell in book.cells if cell.cell_type == "code"]


def words(book):
    return "\n".join(cell.source for cell in book.cells if cell.cell_type == "markdown")


def test_there_are_workbooks():
    assert PATHS


def pytest_says(*words):
    return subprocess.run([sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "--collect-only", "-q", *words],
                          cwd=FOLDER.parent, capture_output=True, text=True).stdout


def test_the_plain_command_runs_every_workbook_and_a_single_file_leaves_nbval_out():
    others = ["--ignore-glob=tests/test_[!w]*", "--ignore-glob=tests/test_w[!o]*",
              "--ignore=tests/browser"]            # collecting them takes its time
    whole = pytest_says(*others, "-k", "ipynb or test_there_are_workbooks")
    for path in PATHS:
        cells = len(code(nbformat.read(path, as_version=4)))
        assert len(re.findall(rf"(?m)^workbooks/{re.escape(path.name)}::", whole)) == cells, path.name
    assert "tests/test_workbooks.py::test_there_are_workbooks" in whole
    one = pytest_says("tests/test_workbooks.py", "--trace-config", "-k", "test_there_are_workbooks")
    assert "test_there_are_workbooks" in one and not re.search(r"nbval-\d|nbval\.plugin", one)


def test_at_least_three_checked_cells_with_stored_text(book):
    checked = [c for c in code(book) if IGNORE not in c.metadata.get("tags", [])
               and any(o.output_type == "stream" and o.name == "stdout" and re.search(r"\d", o.text)
                       for o in c.outputs)]
    assert len(checked) >= 3


def test_one_title_that_asks_a_question_and_gives_minutes(book):
    titles = re.findall(r"(?m)^# .+$", words(book))
    assert len(titles) == 1 and titles[0].rstrip().endswith("?")
    assert re.search(r"\b\d+ minutes\b", book.cells[0].source)


def test_all_parts_are_there_in_order(book):
    found = re.findall(r"(?m)^## (.+)$", words(book))
    places = [next((n for n, title in enumerate(found) if title.startswith(part)), None) for part in PARTS]
    assert None not in places, f"missing: {[p for p, n in zip(PARTS, places, strict=True) if n is None]}"
    assert places == sorted(places)


def test_cells_are_short_hidden_and_hold_no_loops_or_definitions(book):
    for cell in code(book):
        assert len(cell.source.splitlines()) <= 3, cell.source
        assert cell.metadata.get("jupyter", {}).get("source_hidden"), cell.source
        kinds = {type(node) for node in ast.walk(ast.parse(cell.source))}
        assert not kinds & {ast.For, ast.While, ast.FunctionDef, ast.Lambda, ast.ClassDef, ast.If}, cell.source
        assert not cell.source.rstrip().endswith(";")


def test_outputs_are_stored_and_clean(book):
    for cell in code(book):
        assert cell.execution_count
        for output in cell.outputs:
            assert output.output_type != "error", cell.source
            assert not (output.output_type == "stream" and output.name == "stderr"), output.text
            text = str(output)
            assert "Warning" not in text and "0x" not in str(output.get("data", {}).get("text/plain", ""))
            assert "application/vnd.jupyter.widget-view+json" not in output.get("data", {})
    assert "widgets" not in book.metadata


def test_only_pictures_sliders_and_the_readers_own_pond_go_unchecked(book):
    for cell in code(book):
        if IGNORE in cell.metadata.get("tags", []):
            assert "print(" not in cell.source or "mine" in cell.source, cell.source


def test_pictures_have_words(book):
    for cell in code(book):
        for output in cell.outputs:
            page = output.get("data", {}).get("text/html", "")
            if "<svg" in page:
                assert re.search(r'aria-label="[^"]{40,}"', page), cell.source
            if "<img" in page:
                assert re.search(r'alt="[^"]{40,}"', page), cell.source


def test_at_most_six_words_are_taught(book):
    part = re.search(r"(?ms)^## Words\b.*?$(.*?)^## ", words(book))
    assert 1 <= len(re.findall(r"(?m)^[-*] \*\*", part[1])) <= 6


def test_markdown_is_plain(book):
    text = words(book)
    assert "simply" not in text.lower()
    assert not re.search(r"https?://(?!doi\.org|www\.)", text)
