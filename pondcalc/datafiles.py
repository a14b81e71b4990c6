"""Where are the files of ``data/``? Beside the package in a checkout, inside it once installed."""

from pathlib import Path

HERE = Path(__file__).resolve().parent
FOLDERS = (HERE / "data", HERE.parent / "data")     # an installed wheel, then a checkout


def path(name):
    """Path of a data file, such as ``path("demo-soundings.csv")`` or ``path("questions/x.json")``.

    Raises
    ------
    FileNotFoundError
        If there is no such file; the message lists those there are.
    """
    for folder in FOLDERS:
        if (folder / name).is_file():
            return folder / name
    there = sorted({file.name for folder in FOLDERS if folder.is_dir() for file in folder.iterdir()
                    if file.suffix in (".csv", ".json")})
    raise FileNotFoundError(f"There is no data file {name!r}. Data files: {', '.join(there) or 'none'}.")
