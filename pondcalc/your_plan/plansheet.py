"""What does the plan look like on paper, to carry to a shop, an electrician or an extension office?

One self-contained page: no script, no picture, nothing fetched from anywhere. US units first, metric in brackets.
All that a person typed is escaped. Where an installed web browser can print without a window, it makes the PDF;
otherwise the page says how to print itself.
"""

import datetime
import html
import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from .. import record
from . import alternatives, plan, planparts, sensitivity

__all__ = ["BROWSERS", "HOW_TO_PRINT", "find_browser", "sheet_html", "sheet_path", "to_pdf", "write_sheet"]

# names under which browsers that can print to a file without a window are started
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge",
            "msedge")
HOW_TO_PRINT = ("To get a PDF or paper: open the page in a web browser, choose Print (Ctrl+P, or Command+P), paper "
                "size Letter or A4, and “Save as PDF” or a printer.")
_STYLE = """
@page { size: letter; margin: 12mm 13mm; }
* { box-sizing: border-box; }
body { font: 8.8pt/1.24 Arial, Helvetica, sans-serif; color: #000; background: #fff; max-width: 190mm;
  margin: 0 auto; padding: 4mm; }
h1 { font-size: 16pt; margin: 0 0 1mm; } h2 { font-size: 10.4pt; margin: 2.2mm 0 1mm; border-bottom: 1px solid #000; }
section { break-inside: avoid; }
.parts { columns: 2; column-gap: 6mm; } .parts section { break-inside: auto; } .parts h2 { break-after: avoid; }
tr { break-inside: avoid; }
table { width: 100%; border-collapse: collapse; }
th, td { text-align: left; vertical-align: top; padding: 0.5mm 2mm 0.5mm 0; border-bottom: 1px solid #ccc;
  font-weight: normal; overflow-wrap: anywhere; }
th { width: 38%; } td.source { width: 16%; color: #333; } thead th { font-weight: bold; }
p { margin: 1mm 0; overflow-wrap: anywhere; } ul { margin: 1mm 0; padding-left: 5mm; }
.hold { border: 2.5px solid #000; padding: 1.5mm 2.5mm; font-weight: bold; font-size: 11pt; margin: 2mm 0; }
.small { font-size: 8.4pt; } .sign td, .sign th { height: 8mm; vertical-align: bottom; }
.sign td { width: 30%; } .beside th, .beside td { width: 25%; }
@media screen and (max-width: 700px) { .parts { columns: 1; } }
@media print { body { padding: 0; max-width: none; } }
"""


def _text(words):
    return html.escape(str(words), quote=True)


def _list(items, marks=""):
    return f"<ul{marks}>" + "".join(f"<li>{_text(item)}</li>" for item in items) + "</ul>"


def _part(part, stale):
    rows = "".join(f"<tr><th scope='row'>{_text(line.words)}</th><td>{_text(plan.say_value(line, 'US', both=True))}"
                   f"</td><td class='source'>{_text(planparts.mark(line, stale))}</td></tr>" for line in part.lines)
    table = f"<table>{rows}</table>" if rows else ""
    return f"<section><h2>{_text(part.title)}</h2>{table}{''.join(f'<p>{_text(w)}</p>' for w in part.words)}</section>"


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
    pond = whole.pond
    day = (today or datetime.date.today()).isoformat()
    invented = "<p class='hold'>Invented demonstration pond: a sample, not a plan.</p>" if pond.invented else ""
    warnings = [*([whole.hold] if whole.hold else []), *(item.words for item in whole.stale)]
    box = f"<div class='hold' role='note'>{'<br>'.join(map(_text, warnings))}</div>" if warnings else ""
    assumed = whole.plan.choices.assumed
    assumed_words = ("<p class='small'>Assumed because nothing is saved: "
                     + _text(", ".join(name.replace("_", " ") for name in assumed)) + ".</p>") if assumed else ""
    unknowns = [sensitivity.say_swings(outcome, swing, both=True) for outcome, _, swing in whole.unknowns]
    head, *rows = alternatives.side_by_side(whole.others)
    beside = ("<tr>" + "".join(f"<td><b>{_text(cell)}</b></td>" for cell in head) + "</tr>"
              + "".join("<tr>" + f"<th scope='row'>{_text(row[0])}</th>"
                        + "".join(f"<td>{_text(cell)}</td>" for cell in row[1:]) + "</tr>" for row in rows))
    signs = "".join(f"<tr><th scope='row'>{_text(who)}<br><span class='small'>{_text(what)}</span></th>"
                    "<td>Name:</td><td>Date, signature:</td></tr>" for who, what in planparts.SIGN_OFF)
    said = f"<section><h2>Remarks</h2><p>{_text(remarks)}</p></section>" if remarks.strip() else ""
    title = f"Aeration plan: {pond.name}"
    return "".join((
        "<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'>"
        "<meta name='viewport' content='width=device-width, initial-scale=1'>"
        "<meta http-equiv='Content-Security-Policy' content=\"default-src 'none'; style-src 'unsafe-inline'\">",
        f"<title>{_text(title)}</title><style>{_STYLE}</style></head><body><h1>{_text(title)}</h1>",
        f"<p>{_text(owner) + ', ' if owner.strip() else ''}{day}. A plan from the owner's own readings, to be checked "
        "before anything is bought. Usual value first, then the range; US units, metric in round brackets; the last "
        "column is the workbook a number comes from.</p>",
        invented, box, "<div class='parts'>", *(_part(part, whole.stale) for part in whole.parts), "</div>",
        assumed_words, said,
        f"<section><h2>Measure first: what the plan hangs on most</h2>{_list(unknowns)}</section>",
        f"<section><h2>Two other plans, by the simple chain of workbook 08</h2><table class='beside'>{beside}</table>"
        "</section>",
        f"<section><h2>To buy, in general terms</h2>{_list(planparts.shopping(whole))}</section>",
        f"<section><h2>Cautions</h2>{_list(planparts.CAUTIONS, ' class=small')}<p class='small'>Local codes, labels "
        "and licensed people come before anything on this page.</p></section>",
        f"<section><h2>Checked by</h2><table class='sign'>{signs}</table></section></body></html>\n"))


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


def to_pdf(sheet, browser=None, patience=90.0):
    """Print a sheet to a PDF beside it.

    Parameters
    ----------
    sheet : path
        Of the HTML page.
    browser : path, optional
        By default the first one found.
    patience : float, optional
        Seconds to wait.

    Returns
    -------
    tuple of (pathlib.Path or None, str)
        The PDF, or None, and what to say.
    """
    sheet, browser = Path(sheet).resolve(), browser or find_browser()
    if browser is None:
        return None, f"No browser was found that prints by itself. {HOW_TO_PRINT}"
    wanted = sheet.with_suffix(".pdf")
    with tempfile.TemporaryDirectory() as scratch:
        made = Path(scratch) / "sheet.pdf"
        order = [str(browser), "--headless", "--disable-gpu", "--no-first-run", f"--user-data-dir={scratch}/profile",
                 "--no-pdf-header-footer", f"--print-to-pdf={made}", sheet.as_uri()]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            order.insert(1, "--no-sandbox")             # such browsers refuse to start for an administrator otherwise
        try:
            subprocess.run(order, capture_output=True, timeout=patience, check=False)
        except (OSError, subprocess.TimeoutExpired):
            pass
        if not made.exists() or made.read_bytes()[:5] != b"%PDF-":
            return None, f"The browser found did not print. {HOW_TO_PRINT}"
        fresh = wanted.with_name(wanted.name + ".new")
        shutil.copyfile(made, fresh)
        os.replace(fresh, wanted)
    return wanted, f"PDF: {wanted.name}."
