"""How do the workbooks open? ``pond-workbooks``, or ``python -m pondcalc``, starts JupyterLab on workbook 00.

Whatever stands after the command goes on to JupyterLab: another workbook, or options such as ``--no-browser``.
Our settings (no news from the open internet) are handed over for this start alone, as defaults: what the reader
sets in JupyterLab wins and is kept where it always is, nothing is written outside the package, and ``jupyter lab``
without this command works as it would without us.
"""

import os
import sys
from pathlib import Path

from .datafiles import HERE

FIRST = HERE.parent / "workbooks" / "00-start-here.ipynb"


def with_our_settings(surroundings):
    """Surroundings of a process in which JupyterLab finds our settings beside those it would find anyway."""
    before = surroundings.get("JUPYTER_CONFIG_PATH")
    return {**surroundings, "JUPYTER_CONFIG_PATH": os.pathsep.join([*([before] if before else []), str(HERE / "lab")])}


def what_to_open(arguments):
    """What JupyterLab is told: `arguments` as they are, with workbook 00 in front where they name no file or folder."""
    if any(Path(said).exists() for said in arguments):
        return [*arguments]
    if not FIRST.is_file():
        sys.exit("The workbooks do not come with the installed package. Say which one to open: pond-workbooks "
                 "FOLDER/00-start-here.ipynb")
    return [str(FIRST), *arguments]


def main(arguments=None):
    """Open a workbook; runs until Ctrl-C."""
    told = what_to_open(sys.argv[1:] if arguments is None else arguments)
    try:
        from jupyterlab.labapp import main as lab
    except ModuleNotFoundError:
        sys.exit("JupyterLab is not installed. In the folder of README.md: pip install -r requirements.txt")
    os.environ.update(with_our_settings(os.environ))
    return lab(told)


if __name__ == "__main__":
    main()
