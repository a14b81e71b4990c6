"""What does the plan look like on paper, to carry to a shop, an electrician or an extension office?

One self-contained page: no script, no picture, nothing fetched from anywhere. US units first, metric in brackets.
What to do when fish gasp goes along as a page of its own. All that a person typed is escaped. Where an installed web
browser can print without a window, it makes the PDF; otherwise the page says how to print itself.
"""

import datetime
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
_STYLE = """
@page { size: letter; margin: 9mm 11mm; }
* { box-sizing: border-box; }
body { font: 8.1pt/1.15 Arial, Helvetica, sans-serif; color: #000; background: #fff; max-width: 194mm;
  margin: 0 auto; padding: 4mm; }
h1 { font-size: 15pt; margin: 0 0 0.5mm; }
h2 { font-size: 9.8pt; margin: 1.6mm 0 0.5mm; border-bottom: 1px solid #000; }
h2 span { float: right; font-size: 8pt; font-weight: normal; }
section, .whole { break-inside: avoid; }
.parts { columns: 2; column-gap: 6mm; margin-top: 1.2mm; }
.parts section { break-inside: auto; } .parts h2 { break-after: avoid; }
tr { break-inside: avoid; }
table { width: 100%; border-collapse: collapse; }
th, td { text-align: left; vertical-align: top; padding: 0.25mm 2mm 0.25mm 0; border-bottom: 1px solid #ccc;
  font-weight: normal; overflow-wrap: break-word; }
th { width: 35%; } td.source { width: 15%; color: #333; padding-right: 0; text-align: right; }
thead th { font-weight: bold; } .source { overflow-wrap: normal; hyphens: none; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
p { margin: 0.5mm 0; overflow-wrap: anywhere; } ul { margin: 0.6mm 0; padding-left: 4.5mm; }
.parts thead th { padding: 0; border: 0; } .parts th:nth-child(1) { width: 37%; }
.parts th:nth-child(2) { width: 48%; } .parts th:nth-child(3) { width: 15%; }
.redo { font-size: 8.2pt; font-weight: normal; }
.two { columns: 2; column-gap: 6mm; } li { break-inside: avoid; }
.verdict { border: 1.5px solid #000; padding: 0.5mm 2.5mm 1mm; } .verdict b { font-size: 9.8pt; }
.verdict li { break-inside: auto; }
.costs th { width: 31%; }
.costs td, .costs thead th + th { border-left: 1px solid #ccc; padding-left: 2mm; width: 17%; }
.example::before { content: "EXAMPLE"; position: fixed; top: 38%; left: 0; right: 0; text-align: center;
  font: bold 96pt Arial, Helvetica, sans-serif; color: #000; opacity: 0.16; transform: rotate(-30deg); z-index: 9;
  pointer-events: none; }
.hold { border: 2.5px solid #000; padding: 1.5mm 2.5mm; font-weight: bold; font-size: 10pt; margin: 1mm 0; }
.small { font-size: 7.8pt; } .sign td, .sign th { height: 7mm; vertical-align: bottom; }
.sign th { width: 52%; } .beside th, .beside td { width: 25%; }
@media screen and (max-width: 700px) { .parts { columns: 1; } }
@media print { body { padding: 0; max-width: none; } }
"""


def _text(words):
    return html.escape(str(words), quote=True)


def _list(items, marks=""):
    return f"<ul{marks}>" + "".join(f"<li>{_text(item)}</li>" for item in items) + "</ul>"


def _part(part, whole):
    rows = "".join(f"<tr><th scope='row'>{_text(line.words)}</th><td>{_text(plan.say_value(line, 'US', both=True))}"
                   f"</td><td class='source'>{_text(planparts.mark(line, whole, 'OLD'))}"
                   "</td></tr>" for line in part.lines)
    head = "".join(f"<th scope='col'><span class='unseen'>{words}</span></th>"
                   for words in ("What", "Value", "Workbook"))
    table = f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>" if rows else ""
    column = "<span aria-hidden='true'>workbook</span>" if rows else ""
    words = "".join(f"<p>{_text(sentence)}</p>" for sentence in part.words)
    return f"<section><h2>{_text(part.title)}{column}</h2>{table}{words}</section>"


def _costs(whole):
    """First costs, with empty columns for the offers a person gets."""
    rows = tobuy.costs(whole)
    rows.append(("Sum", tobuy.total(rows)))
    got = [(one.quote.name, one.reach.does, show(Q(one.quote.price, "dollar"), "money")) for one in whole.offers]
    names = [*(f"{name}: {does}" for name, does, _ in got), "Offer 1", "Offer 2", "Offer 3"][:3]
    head = "".join(f"<th scope='col'>{_text(words)}</th>" for words in ("What", "Range", *names))

    def asked(words):
        return [price if words == "Compressor" and does != reach.CANNOT else "" for _, does, price in got]
    made = "".join(f"<tr><th scope='row'>{_text(words)}</th><td>"
                   f"{_text(show_range(Q(span.low, 'dollar'), Q(span.high, 'dollar'), 'money'))}</td>"
                   + "".join(f"<td>{_text(cell)}</td>" for cell in [*asked(words), "", "", ""][:3]) + "</tr>"
                   for words, span in rows)
    middle = show(Q(rows[-1][1].usual, "dollar"), "money", digits=2)
    return ("<section><h2>First costs: what to pay at the start</h2><table class='costs'><thead><tr>"
            f"{head}</tr></thead><tbody>{made}</tbody></table><p class='small'>Ranges are common practice, no source; "
            f"in the middle about {middle}. Write your offers in the empty columns; ask what a low one leaves out.</p>"
            "</section>")


def _verdict(whole):
    reasons = _list(whole.verdict.reasons, " class='small two'")
    return f"<section class='verdict'><p><b>{_text(whole.verdict.headline)}</b></p>{reasons}</section>"


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
    redo = staleness.on_paper(whole.stale)
    warnings = [f"<div{' class=redo' if words in redo else ''}>{_text(words)}</div>"
                for words in planparts.warnings_of(whole, on_paper=True)]
    box = f"<div class='hold' role='note'>{''.join(warnings)}</div>" if warnings else ""
    assumed = " ".join(filter(None, [planparts.say_assumed(whole), *whole.plan.notes]))
    assumed_words = f"<p class='small'>{_text(assumed)}</p>" if assumed else ""
    unknowns = [sensitivity.say_swings(outcome, swing, both=True) for outcome, _, swing in whole.unknowns]
    head, *rows = alternatives.side_by_side(whole.others)
    rows = [row for row in rows if row[0] not in SAID_ABOVE]
    beside = ("<tr>" + "".join(f"<td><b>{_text(cell)}</b></td>" for cell in head) + "</tr>"
              + "".join("<tr>" + f"<th scope='row'>{_text(row[0])}</th>"
                        + "".join(f"<td>{_text(cell)}</td>" for cell in row[1:]) + "</tr>" for row in rows))
    signs = "".join(f"<tr><th scope='row'>{_text(who)}: <span class='small'>{_text(what)}</span></th>"
                    "<td>Name:</td><td>Date, signature:</td></tr>" for who, what in planparts.SIGN_OFF)
    said = f"<p><b>Remarks:</b> {_text(remarks)}</p>" if remarks.strip() else ""
    title = f"{'EXAMPLE, not an aeration plan' if pond.invented else 'Aeration plan'}: {pond.name}"
    body = "<body class='example'>" if pond.invented else "<body>"
    return "".join((
        "<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'>"
        "<meta name='viewport' content='width=device-width, initial-scale=1'>"
        "<meta http-equiv='Content-Security-Policy' content=\"default-src 'none'; style-src 'unsafe-inline'\">",
        f"<title>{_text(title)}</title><style>{_STYLE}{tonight.STYLE}</style></head>{body}<h1>{_text(title)}</h1>",
        f"<p>{_text(owner) + ', ' if owner.strip() else ''}{day}. A plan from the owner's own readings, to be checked "
        "before anything is bought. US units, metric in round brackets; [02] and the like name the workbook behind a "
        "number.</p>",
        box, _verdict(whole), "<div class='parts'>", *(_part(part, whole) for part in whole.parts), "</div>",
        assumed_words, said,
        f"<section><h2>Measure first: what the plan hangs on most</h2>{_list(unknowns)}</section>",
        f"<section><h2>Two other plans, by the simple chain of workbook 08</h2><table class='beside'>{beside}</table>"
        "</section>",
        f"<section><h2>To buy, in general terms</h2>{_list(tobuy.shopping(whole), ' class=two')}</section>",
        _costs(whole),
        "<div class='whole'><section><h2>Cautions</h2>" + _list(planparts.cautions(pond), " class='small two'")
        + "<p class='small'>Local codes, labels and licensed people come before anything on this page.</p></section>",
        f"<section><h2>Checked by</h2><table class='sign'>{signs}</table></section></div>",
        tonight.body_html(), "</body></html>\n"))


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
