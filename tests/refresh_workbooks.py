"""Run every workbook from top to bottom and store what it shows: ``python tests/refresh_workbooks.py``.

Name one or more workbooks to refresh only those. Stored outputs are the reference that nbval checks
against. Timing, widget state and machine details are left out, so that a refresh changes only what
has changed.
"""

import hashlib
import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

WORKBOOKS = Path(__file__).resolve().parent.parent / "workbooks"
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


def tidy(notebook):
    """Keep sources, tags and plain outputs; drop what differs from run to run."""
    notebook.metadata = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python",
                                        "name": "python3"},
                         "language_info": {"name": "python"}}
    seen = set()
    for cell in notebook.cells:
        name = hashlib.sha1(cell.source.encode()).hexdigest()[:8]
        while name in seen:
            name += "x"
        seen.add(name)
        cell["id"] = name  # from the text, so that moving or adding cells leaves the others alone
        cell.metadata.pop("execution", None)
        if cell.cell_type != "code":
            continue
        for output in cell.outputs:
            output.get("data", {}).pop(WIDGET_VIEW, None)
            output.get("metadata", {}).clear()
    return notebook


def refresh(path):
    """Execute one workbook, in an empty folder so that no pond record of yours gets in, and write it back."""
    notebook = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as folder:
        NotebookClient(notebook, timeout=120, kernel_name="python3", coalesce_streams=True,
                       resources={"metadata": {"path": folder}}).execute()
    nbformat.write(tidy(notebook), path)


def main(names):
    """Refresh the named workbooks, or all of them."""
    paths = [p for p in sorted(WORKBOOKS.glob("*.ipynb")) if not names or any(n in p.name for n in names)]
    if not paths:
        sys.exit(f"No workbook matches {' '.join(names)}.")
    for path in paths:
        refresh(path)
        print(f"refreshed {path.name}")


if __name__ == "__main__":
    main(sys.argv[1:])
