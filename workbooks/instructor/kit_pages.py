"""Pages of the teaching kit, as text: answer key, worksheets, quiz and glossary."""

import html
import re

from kit_sources import QUIZ, raw_questions

from pondcalc import checks
from pondcalc.how_much_oxygen import fishlimits
from pondcalc.units import KINDS, SPELLINGS, Q, format_number, show, unit_label

MADE = "<!-- Written by workbooks/instructor/make_kit.py; do not edit by hand. -->\n"
LETTERS = "ABCDEF"
MOST_LINES = 15
MOST_STEPS = 9          # in a table; more are set in two columns
FULL_NAMES = {"acre_foot": "acre-foot", "cfm": "cubic foot of air per minute", "gpm": "gallon per minute",
              "inch_water": "inch of water (a pressure)", "psi": "pound per square inch",
              "us_cent": "cent", "kilowatt_hour": "kilowatt-hour", "dimensionless": "a plain number",
              "delta_degree_Fahrenheit": "Fahrenheit degree of difference",
              "delta_degree_Celsius": "Celsius degree of difference", "degree_Fahrenheit": "degree Fahrenheit",
              "degree_Celsius": "degree Celsius", "foot ** 2": "square foot", "foot ** 3": "cubic foot",
              "inch ** 2": "square inch", "centimeter ** 2": "square centimeter", "meter ** 2": "square meter",
              "meter ** 3": "cubic meter", "foot": "foot"}
STYLE = """
@page { size: letter; margin: 11mm; }
* { box-sizing: border-box; }
body { font: 9.2pt/1.28 Helvetica, Arial, "DejaVu Sans", sans-serif; color: #000; margin: 0 auto; max-width: 205mm; }
h1 { font-size: 14pt; line-height: 1.15; margin: 0 0 1mm; }
h2 { font-size: 10.5pt; margin: 2.4mm 0 0.8mm; border-bottom: 1px solid #000; break-after: avoid; }
p { margin: 0 0 1mm; }
.top { display: flex; gap: 8mm; margin-bottom: 1.5mm; }
.line { flex: 1; border-bottom: 1px solid #000; }
.whole { break-inside: avoid; }
.flow { columns: 2; column-gap: 7mm; }
.q { break-inside: avoid; margin-bottom: 1.8mm; }
.q ul { list-style: none; margin: 0.6mm 0; padding: 0; }
.q li { padding-left: 5mm; text-indent: -5mm; margin-bottom: 0.5mm; }
.work { border: 1px solid #777; height: 17mm; margin: 0.8mm 0; padding: 0.5mm 1mm; color: #555; font-size: 7.5pt; }
.blank { border-bottom: 1px solid #000; display: block; height: 5.5mm; }
dl { margin: 0; } dt { font-weight: bold; display: inline; } dd { display: inline; margin: 0; }
dd::after { content: ""; display: block; margin-bottom: 0.6mm; }
table { border-collapse: collapse; width: 100%; } td, th { border: 1px solid #999; padding: 0.8mm 1.2mm;
text-align: left; vertical-align: top; font-size: 8.4pt; } tr { break-inside: avoid; }
pre { margin: 0; font: 6.9pt/1.25 "DejaVu Sans Mono", Consolas, monospace; white-space: pre-wrap; }
.small { font-size: 8pt; }
.facts { font-size: 8pt; } .facts div { break-inside: avoid; margin-bottom: 1mm; } .facts p { margin: 0; }
.facts p + p, .facts pre + p { padding-left: 3mm; }
@media screen { body { padding: 8mm; } }
"""


def inline(text):
    """HTML of one run of Markdown: bold, italic and code only."""
    text = html.escape(text, quote=False)
    text = re.sub(r"\*\*(.+?)\*\*", r"<b>\1</b>", text)
    text = re.sub(r"(?<![\w*])\*(?!\s)([^*]+?)\*", r"<i>\1</i>", text)
    text = re.sub(r"\[([^\]]+)\]\([^)]*\)", r"\1", text)
    return re.sub(r"`([^`]+)`", r"<code>\1</code>", text)


def value(text, kind):
    """Text of a right or wrong number: in both unit systems, or as written when the slip is one of units."""
    number, _, written = text.partition(" ")
    known = {unit.replace(" ", ""): unit for unit in SPELLINGS}
    unit = known.get(written.replace(" ", ""))
    if unit and unit not in KINDS[kind] and unit != "dimensionless":
        return f"{number} {unit_label(unit)}"
    return show(checks._read(text, kind), kind, both=True)


def lettered(entry):
    """Options with their letters."""
    return list(zip(LETTERS, entry["options"], strict=False))


# ---- answer key

def _key_choice(entry):
    lines = [f"- {'**' + letter + ', right**' if option.get('right') else letter}: “{option['words']}” "
             + (f"({option['misconception']}.) " if "misconception" in option else "") + option["reply"]
             for letter, option in lettered(entry)]
    return [entry["ask"], "", *lines]


def _key_number(entry):
    return [entry["ask"], "", f"- **Right: {value(entry['answer'], entry['kind'])}**, "
            f"within {100 * entry['within']:g} %. {entry['solution']}", f"- Hint on the page: {entry['hint']}",
            *(f"- {value(slip['value'], entry['kind'])}: {slip['reply']}" for slip in entry["slips"])]


def answer_key(books):
    """The worked answer key of all workbooks, in Markdown."""
    out = [MADE, "# Answer key", "",
           "Questions stand in the order in which the workbooks ask them, and in the same order on the worksheets. "
           "After each wrong answer stands the slip behind it: what the learner most likely did, and what to say. "
           "Numbers are in US units with metric in brackets. Each number is recomputed by `tests/test_questions.py`.",
           ""]
    for book in books:
        out += [f"## {book.number}: {book.title}", ""]
        for n, (kind, name) in enumerate(book.asked, 1):
            entry = book.questions[name]
            body = _key_choice(entry) if entry["form"] == "choice" else _key_number(entry)
            out += [f"### {book.number}.{n} {'Predict' if kind == 'Predict' else 'Question'}: {name}", "", *body, ""]
    return "\n".join(out).rstrip() + "\n"


# ---- worksheets

def _paper_question(label, entry, predict=False):
    head = f'<div class="q"><p><b>{label}.</b> {inline(entry["ask"])}</p>'
    if entry["form"] == "choice":
        options = "".join(f"<li>&#9744; {letter}. {inline(option['words'])}</li>" for letter, option in lettered(entry))
        because = '<p>I think so because<span class="blank"></span><span class="blank"></span></p>' if predict else ""
        return f"{head}<ul>{options}</ul>{because}</div>"
    return (f'{head}<div class="work">Working</div>'
            '<p>Answer with unit: ______________________</p></div>')


def _narrow(lines, result):
    """Printed lines for a narrow column: tables as they are, sentences with their broken lines put back."""
    table = [line for line in lines if re.search(r"\S {2,}\S", line)]
    prose = re.sub(r"\n {2,}", " ", "\n".join(line for line in lines if line not in table))
    return result(table) + "".join(f"<p>{html.escape(line, quote=False)}</p>" for line in prose.splitlines())


def _facts(book):
    steps = [(f"{number}. {inline(text)}", lines[:MOST_LINES] + ["… more in the workbook"] * (len(lines) > MOST_LINES))
             for number, text, lines in book.steps()]

    def result(lines):
        return f"<pre>{html.escape(chr(10).join(lines), quote=False)}</pre>" if lines else ""
    if len(steps) > MOST_STEPS:
        set_in = "".join(f"<div><p>{text}</p>{_narrow(lines, result)}</div>" for text, lines in steps)
        return f'<div class="flow facts">{set_in}</div>'
    rows = "".join(f"<tr><td>{text}</td><td>{result(lines)}</td></tr>" for text, lines in steps if lines)
    return "<table><tr><th style='width:39%'>Step</th><th>Result</th></tr>" + rows + "</table>"


def page(title, body, style=STYLE):
    """A page of HTML that needs nothing but itself."""
    return ('<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n' + MADE
            + f"<title>{html.escape(title, quote=False)}</title>\n<style>{style}</style></head>\n<body>\n{body}\n"
            "</body></html>\n")


NAME = '<div class="top"><span>Name</span><span class="line"></span><span>Date</span><span class="line"></span></div>'


def _part(heading, body):
    """A part of a sheet that stands on one page where it fits on one."""
    return f'<section class="whole"><h2>{heading}</h2>{body}</section>'


def worksheet(book):
    """One workbook on paper: predict, words, worked example, questions with room to work, hints."""
    labelled = [(f"{book.number}.{n}", kind, book.questions[name]) for n, (kind, name) in enumerate(book.asked, 1)]
    predict = "".join(_paper_question(label, entry, True) for label, kind, entry in labelled if kind == "Predict")
    asks = "".join(_paper_question(label, entry) for label, kind, entry in labelled if kind == "Ask")
    words = "".join(f"<dt>{inline(word)}</dt>: <dd>{inline(meaning)}</dd>" for word, meaning in book.glossary())
    hints = " ".join(f"<b>{label}</b> {inline(entry['hint'])}" for label, _, entry in labelled if "hint" in entry)
    body = [f"<h1>{book.number}. {html.escape(book.title, quote=False)}</h1>", NAME,
            '<p class="small">A sheet for a room without power. Cover all below the first part while you predict. '
            "Nothing here is permission to wire, switch on, dose, or go on water or ice; your teacher has the cautions."
            " The pond is invented.</p>", _part("Predict first", f'<div class="flow">{predict}</div>'),
            _part("Words", f'<div class="flow small"><dl>{words}</dl></div>'),
            f"<h2>Worked example: facts you may use</h2>{_facts(book)}",
            _part("Your turn", f'<div class="flow">{asks}</div>')]
    if hints:
        body.append(_part("Hints (fold this part back until you are stuck)", f'<p class="small">{hints}</p>'))
    return page(f"Worksheet {book.number}", "\n".join(body))


# ---- quiz

def quiz_page():
    """The ten questions on paper."""
    asks = "".join(_paper_question(n, entry) for n, entry in enumerate(raw_questions(QUIZ).values(), 1))
    body = ("<h1>Ten questions on ponds and air</h1>" + NAME
            + '<p>&#9744; before the class &nbsp; &#9744; after the class. Pick one answer for each. A guess is fine; '
              'nobody grades this.</p>' + f'<div class="flow">{asks}</div>')
    return page("Quiz", body, STYLE + "body { font-size: 11.5pt; } .q { margin-bottom: 4mm; }\n")


def tonight_page():
    """What to do when fish gasp, on one page by itself."""
    plain = "@page { size: letter; margin: 11mm; }\nbody { color: #000; margin: 0 auto; max-width: 194mm; }"
    return page(fishlimits.TITLE, fishlimits.body_html(), plain + fishlimits.STYLE)


def quiz_key():
    """The key of the quiz, with the misconception behind each wrong answer, in Markdown."""
    entries = list(raw_questions(QUIZ).values())
    out = [MADE, "# Quiz key", "",
           "Ten questions for before and after a class, about ten minutes each time. Print "
           "`worksheets/quiz.html`. Use the same sheet both times, and do not go over the answers in between.", "",
           "Count hands or sheets for each letter. A wrong answer that many share tells you which idea to spend time "
           "on; the last column says where. What counts is the change from before to after, question by question. "
           "Ten questions are too few to grade a person.", "",
           "| no. | right | " + " | ".join(LETTERS[:4]) + " | workbook |",
           "| --- | --- |" + " --- |" * 5]
    for n, entry in enumerate(entries, 1):
        cells = ["right" if option.get("right") else option["misconception"] for option in entry["options"]]
        right = LETTERS[cells.index("right")]
        out.append(f"| {n} | {right} | " + " | ".join(cells + [""] * (4 - len(cells))) + f" | {entry['workbook']} |")
    out += ["", "## What to say", ""]
    for n, entry in enumerate(entries, 1):
        out += [f"### {n}. {entry['id'].replace('-', ' ')}", "", *_key_choice(entry), ""]
    return "\n".join(out).rstrip() + "\n"


# ---- glossary

def _unit_name(unit):
    if unit in FULL_NAMES:
        return FULL_NAMES[unit]
    parts = [re.sub(r"(\w+) \*\* 2", r"square \1", re.sub(r"(\w+) \*\* 3", r"cubic \1", p)) for p in unit.split(" / ")]
    return " per ".join(FULL_NAMES.get(p, p.replace("_", " ")) for p in parts)


def _factor(us, metric):
    if us == metric:
        return "the same in both"
    if us == "degree_Fahrenheit":
        return "°F = 1.8 × °C + 32"
    return f"1 {unit_label(us)} = {format_number(Q(1.0, us).m_as(metric), 4)} {unit_label(metric)}"


def _headword(word):
    """A capital first, but kLa and its like stay as they are."""
    return word if word[1:2].isupper() or word[2:3].isupper() else word[0].upper() + word[1:]


PARTS = (
    ("Cabinet", "the box or shed around the compressor, with vents and often a fan."),
    ("Compressor", "the machine on the shore that pushes air down the line."),
    ("Diffuser", "the part on the bottom of the pond that lets the air out as bubbles, through a disk, tube or stone "
                 "full of small holes."),
    ("Gauge", "the dial on the line at the compressor that shows the pressure, in psi or kPa."),
    ("GFCI, ground-fault outlet", "an outlet that cuts the power at once when current leaks, for example through a "
                                  "person; test it every month."),
    ("Hour meter", "a counter that shows for how many hours the compressor has run since it was installed."),
    ("Line", "the tube that carries the air from the compressor to the diffuser."),
    ("Meter (for oxygen)", "a probe on a cable that shows the dissolved oxygen and the temperature where it hangs."),
    ("Timer", "a switch with a clock that runs the compressor for the hours you set."),
)


def glossary(books):
    """Words of all workbooks, and the units, in Markdown."""
    meanings = {}
    for book in books:
        for word, meaning in book.glossary():
            meanings.setdefault(_headword(word), {}).setdefault(meaning, []).append(book.number)
    out = [MADE, "# Glossary", "",
           "Every word that a workbook teaches, with the workbooks that use it in square brackets. Where two workbooks "
           "put it in other words, both stand here.", "", "## Words", ""]
    for word in sorted(meanings, key=str.lower):
        said = " ".join(f"{text[0].upper()}{text[1:]} [{', '.join(where)}]" for text, where in meanings[word].items())
        out.append(f"- **{word}**: {said}")
    out += ["", "## Parts of the system", "", *(f"- **{part}**: {words}" for part, words in PARTS)]
    out += ["", "## Units", "", "What each kind of number is shown in. The switch on each picture changes the column.",
            "", "| kind of number | US | metric | to convert |", "| --- | --- | --- | --- |"]
    for kind, (us, metric) in KINDS.items():
        out.append(f"| {kind} | {unit_label(us) or '-'} | {unit_label(metric) or '-'} | {_factor(us, metric)} |")
    out += ["", "## Signs for units", "", "| sign | name |", "| --- | --- |"]
    used = {unit for pair in KINDS.values() for unit in pair} - {"dimensionless"}
    out += [f"| {unit_label(unit)} | {_unit_name(unit)} |" for unit in SPELLINGS if unit in used]
    out += ["", "Three things are no units, so words carry them. Pressure is **gauge** (above open air) or "
            "**absolute** (above a vacuum). Air is **free air** (68 °F, 20 °C, at sea level, dry) or air at depth. "
            "Oxygen is what is **there** or what the water could hold, its **saturation**."]
    return "\n".join(out).rstrip() + "\n"
