"""What does the plan look like on paper, to carry to a shop, an electrician or an extension office?

One self-contained page: no script, no picture, nothing fetched from anywhere. US units first, metric in brackets.
What to do when fish gasp goes along as a page of its own. The page stands in ``plansheet.html``, a template; all that
fills it is escaped. Where an installed web browser can print without a window, it makes the PDF; otherwise the page
says how to print itself.
"""

import datetime
import functools
import html
import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from .. import record
from ..back_pressure import reach
from ..how_much_oxygen import tonight
from ..units import Q, show, show_range
from . import alternatives, plan, planparts, sensitivity, staleness, tobuy

__all__ = ["BROWSERS", "HOW_TO_PRINT", "find_browser", "sheet_html", "sheet_path", "to_pdf", "write_sheet"]

# names under which browsers that can print to a file without a window are started
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge",
            "msedge")
HOW_TO_PRINT = ("To get a PDF or paper: open the page in a web browser, choose Print (Ctrl+P, or Command+P), paper "
                "size Letter or A4, and “Save as PDF” or a printer.")
PATIENCE = 90.0         # s to wait for a browser
SAID_ABOVE = ("Diffusers", "Bore of the line", "Power")         # rows of other plans that the parts above give


def _rows(part, whole):
    return [(line.words, plan.say_value(line, "US", both=True), planparts.mark(line, whole, "OLD"))
            for line in part.lines]


def _costs(whole):
    """First costs, with empty columns for the offers a person gets."""
    rows = tobuy.costs(whole)
    rows.append(("Sum", tobuy.total(rows)))
    got = [(one.quote.name, one.reach.does, show(Q(one.quote.price, "dollar"), "money")
            + (f", {one.warned}" if one.warned else "")) for one in whole.offers]
    names = [*(f"{name}: {does}" for name, does, _ in got), "Offer 1", "Offer 2", "Offer 3"][:3]

    def asked(words):
        return [price if words == "Compressor" and does not in reach.NEVER else "" for _, does, price in got]
    return {"heads": ("What", "Range", *names),
            "rows": [(words, show_range(Q(span.low, "dollar"), Q(span.high, "dollar"), "money"),
                      *[*asked(words), "", "", ""][:3]) for words, span in rows],
            "middle": show(Q(rows[-1][1].usual, "dollar"), "money", digits=2)}


@functools.cache
def _template():
    """The page with its blanks; only here, since the library takes a while to come in."""
    from jinja2 import Environment
    return Environment(autoescape=True, finalize=_escaped).from_string(
        Path(__file__).with_suffix(".html").read_text(encoding="utf-8"))


def _escaped(value):
    """HTML as it is, anything else escaped as on the other pages of this set."""
    from markupsafe import Markup
    return value if hasattr(value, "__html__") else Markup(html.escape(str(value)))


def sheet_html(whole, owner="", remarks="", today=None):
    """The plan as one HTML page that needs nothing else.

    Parameters
    ----------
    whole : planparts.WholePlan
    owner, remarks : str, optional
        As typed by a person; escaped.
    today : datetime.date, optional

    Returns
    -------
    str
    """
    pond, redo = whole.pond, staleness.on_paper(whole.stale)
    head, *rows = alternatives.side_by_side(whole.others)
    return _template().render(
        title=f"{'EXAMPLE, not an aeration plan' if pond.invented else 'Aeration plan'}: {pond.name}",
        invented=pond.invented, owner=owner, remarks=remarks, day=(today or datetime.date.today()).isoformat(),
        warnings=[(words, words in redo) for words in planparts.warnings_of(whole, on_paper=True)],
        verdict=whole.verdict,
        parts=[{"title": part.title, "rows": _rows(part, whole), "words": part.words} for part in whole.parts],
        assumed=" ".join(filter(None, [planparts.say_assumed(whole), *whole.plan.notes])),
        unknowns=[sensitivity.say_swings(outcome, swing, both=True) for outcome, _, swing in whole.unknowns],
        beside=[head, *(row for row in rows if row[0] not in SAID_ABOVE)], shopping=tobuy.shopping(whole),
        costs=_costs(whole), cautions=planparts.cautions(pond), sign_off=planparts.SIGN_OFF,
        tonight_style=tonight.STYLE, tonight=tonight.body_html()) + "\n"


def sheet_path(record_path=record.FILE_NAME):
    """Where the sheet goes: beside the pond record, such as ``my-pond-plan.html``."""
    path = Path(record_path)
    return path.with_name(f"{path.stem}-plan.html")


def write_sheet(whole, record_path=record.FILE_NAME, owner="", remarks=""):
    """Write the sheet beside the record, whole or not at all.

    Returns
    -------
    pathlib.Path
    """
    path = sheet_path(record_path)
    record.replace_file(path, sheet_html(whole, owner, remarks))
    return path


def find_browser():
    """Path of an installed browser that can print without a window, or None."""
    return next((found for found in map(shutil.which, BROWSERS) if found), None)


def to_pdf(sheet, browser=None):
    """Print a sheet to a PDF beside it.

    Parameters
    ----------
    sheet : path
        Of the HTML page.
    browser : path, optional
        By default the first one found.

    Returns
    -------
    tuple of (pathlib.Path or None, str)
        The PDF, or None, and what to say.
    """
    sheet, browser = Path(sheet).resolve(), browser or find_browser()
    if browser is None:
        return None, f"No browser was found that prints by itself. {HOW_TO_PRINT}"
    wanted = sheet.with_suffix(".pdf")
    # a browser that was stopped may still write into its folder for a moment
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch:
        made = Path(scratch) / "sheet.pdf"
        order = [str(browser), "--headless", "--disable-gpu", "--no-first-run", f"--user-data-dir={scratch}/profile",
                 "--no-pdf-header-footer", f"--print-to-pdf={made}", sheet.as_uri()]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            order.insert(1, "--no-sandbox")             # such browsers refuse to start for an administrator otherwise
        try:
            subprocess.run(order, capture_output=True, timeout=PATIENCE, check=False)
        except (OSError, subprocess.TimeoutExpired):
            pass
        if not made.exists() or made.read_bytes()[:5] != b"%PDF-":
            return None, f"The browser found did not print. {HOW_TO_PRINT}"
        fresh = wanted.with_name(wanted.name + ".new")
        try:
            shutil.copyfile(made, fresh)
            os.replace(fresh, wanted)
        except OSError as problem:
            fresh.unlink(missing_ok=True)
            return None, (f"{wanted.name} could not be written ({problem.strerror or problem}). If the old one is open "
                          f"in another program, close it and try again. {HOW_TO_PRINT}")
    return wanted, f"PDF: {wanted.name}."
