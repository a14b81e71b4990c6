"""The tree stays as its contributors agreed: see DEVELOPERS.md."""

import ast
import graphlib
import json
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MODULES = sorted((ROOT / "pondcalc").rglob("*.py"))
# what may import what, from the ground up; a folder not named here computes, and so does a module beside the folders
TOP = {"record": 1, "findings": 2, "your_plan": 2, "figures": 3, "checks": 3, "controls": 4}
# these import nothing of the package but what is named
ALONE = {"spellings": set(), "datafiles": {"spellings"}, "refusals": set(), "units": {"refusals", "spellings"}}
# modules of less than 60 lines, each with its reason
SHORT = {"__init__": "a folder", "__main__": "the start command", "door": "stands before every other module",
         "refusals": "below units, which refuses by it"}


LONGEST_FUNCTION = 60


def code_lines(function):
    """Lines of a function without its docstring."""
    first = function.body[0]
    words = first.end_lineno - first.lineno + 1 if ast.get_docstring(function) else 0
    return function.end_lineno - function.lineno + 1 - words


def tracked():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if listed.returncode:
        pytest.skip("not a git checkout, so there is no list of tracked files to read")
    return [ROOT / name for name in listed.stdout.splitlines()]


def test_top_level_is_as_agreed():
    allowed = {"README.md", "DEVELOPERS.md", "requirements.txt", "pyproject.toml", "LICENSE", "workbooks",
               "pondcalc", "tests", "data"}
    top = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in top if not name.startswith(".")} <= allowed


def test_no_machine_path_or_registry_host_is_written_down():
    marks = re.compile("|".join(["/wor" "k/", "/tm" "p/", "/roo" "t/", "/hom" "e/", "file:/" "/", r"pypi\.or" "g"]))
    found = [f"{path.name}:{n}" for path in tracked() if path.suffix not in (".png", ".pdf") and path.is_file()
             for n, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1)
             if marks.search(line)]
    assert found == []


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT / "pondcalc")))
def test_module_is_small_silent_and_imports_one_way(path):
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    assert len(text.splitlines()) >= 60 or path.stem in SHORT, "join it to the module that asks the same"
    assert [f"{f.name}: {code_lines(f)}" for f in ast.walk(tree)
            if isinstance(f, ast.FunctionDef) and code_lines(f) > LONGEST_FUNCTION] == []
    assert ast.get_docstring(tree), "a module says first which question it answers"
    calls = {node.func.id for node in ast.walk(tree)
             if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
    assert not calls & {"print", "eval", "exec"}
    assert "pyplot" not in text and "pickle" not in text
    here = folder_of(path)
    imports = [node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    names = {alias.name.split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.Import)
             for alias in node.names}
    if here != "units":
        assert "pint" not in names | {node.module for node in imports}
    if here != "controls":
        assert "ipywidgets" not in names
    if here not in ("figures", "controls"):
        assert not any(name.startswith("matplotlib") for name in names | {n.module or "" for n in imports})
    wanted = imported(path)
    assert here not in ALONE or wanted <= ALONE[here], f"{here} imports {wanted}"
    too_high = {name for name in wanted if TOP.get(name.split(".")[0], 0) > TOP.get(here, 0)}
    assert not too_high, f"{here} may not import {too_high}"


def folder_of(path):
    """Folder of a module, or the module's own name where it stands beside the folders."""
    return path.relative_to(ROOT / "pondcalc").parts[0].removesuffix(".py")


def imported(path):
    """Modules of the package that a module imports anywhere in it, such as ``water`` or ``the_year.seasons``."""
    home = path.relative_to(ROOT / "pondcalc").parts[:-1]
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level:
            base = [*home[:len(home) - node.level + 1], *(node.module or "").split(".")]
            base = [part for part in base if part]
            for alias in node.names:
                whole = [*base, alias.name]
                is_module = (ROOT / "pondcalc").joinpath(*whole).with_suffix(".py").is_file()
                found.add(".".join(whole if is_module else base))
    return found - {""}


def test_no_two_modules_import_each_other_round_a_ring():
    graph = {}
    for path in MODULES:
        parts = path.relative_to(ROOT / "pondcalc").with_suffix("").parts
        here = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        graph[here] = imported(path) - {here}
    assert len(graph["controls.how_much_water"]) > 3 and "units" in graph["water"]
    graphlib.TopologicalSorter(graph).prepare()


def test_every_public_function_says_what_it_does():
    silent = []
    for path in MODULES:
        top = ast.parse(path.read_text(encoding="utf-8")).body
        for node in top + [n for c in top if isinstance(c, ast.ClassDef) for n in c.body]:
            if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
                if not ast.get_docstring(node) and len(node.body) > 3:
                    silent.append(f"{path.name}: {node.name}")
    assert silent == []


def test_nothing_stands_in_the_package_that_nothing_uses():
    cells = ["".join(cell["source"]) for path in (ROOT / "workbooks").glob("*.ipynb")
             for cell in json.loads(path.read_text(encoding="utf-8"))["cells"] if cell["cell_type"] == "code"]
    scripts = [path.read_text(encoding="utf-8") for folder in ("data", "workbooks") for path in
               (ROOT / folder).rglob("*.py")]
    defined, used = set(), set()
    for path in MODULES:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            defined |= {node.name} if isinstance(node, (ast.FunctionDef, ast.ClassDef)) else {
                name.id for name in getattr(node, "targets", []) if isinstance(name, ast.Name)}
    for text in [*cells, *scripts, *(path.read_text(encoding="utf-8") for path in MODULES)]:
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, (ast.Name, ast.Attribute)) and isinstance(node.ctx, ast.Load):
                used.add(node.id if isinstance(node, ast.Name) else node.attr)
    assert defined - used - {"__getattr__"} == {"__version__"}


TYPED = {"self.value", "cell", "title.lower()"}     # what somebody wrote, or our own title: no finished sentence


@pytest.mark.parametrize("path", [path for path in MODULES if path.parent.name in ("controls", "your_plan")],
                         ids=lambda path: path.stem)
def test_no_pattern_mends_the_words_of_an_error(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    errors = {handler.name for handler in ast.walk(tree) if isinstance(handler, ast.ExceptHandler) and handler.name}
    for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
        does = getattr(call.func, "attr", "")
        if does == "sub":
            assert ast.unparse(call.args[-1]) in TYPED, f"line {call.lineno}: carry the facts instead"
        if does in ("sub", "replace", "partition", "removeprefix", "removesuffix", "split"):
            mended = {name.id for name in ast.walk(call) if isinstance(name, ast.Name)}
            assert not mended & errors and "message" not in ast.unparse(call.func), f"line {call.lineno}"


def test_every_warning_of_the_package_is_a_caution():
    given = [(path.name, call.lineno, ast.unparse(call.args[0]).partition("(")[0]) for path in MODULES
             for call in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
             if isinstance(call, ast.Call) and ast.unparse(call.func) == "warnings.warn"]
    assert len(given) > 20 and [one for one in given if one[2] not in ("Caution", "BelowCurve", "FastAir")] == []
    silenced = [(path.name, call.lineno) for path in MODULES
                for call in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
                if isinstance(call, ast.Call) and ast.unparse(call.func) == "warnings.filterwarnings"]
    assert silenced == [], "silence a class of cautions, not a text"
