"""What learners do to files and boxes, and what makes an answer a kind one. Shared by the tours of wrong input."""

import re

ADVICE = (r"\b(write|check|save|add|put|choose|rename|mend|leave|give|use|type|change|take|keep|switch|set|read|sound|"
          r"fill|close|copy|make|open|start|press|walk|measure|exchange|head|raise|strip|look|wait|ask|lower|pick|call)\b|"
          r"did you mean|such as|for example")
PYTHON = (r"\b(arguments?|None|NoneType|float|int|str|dtype|tuple|index|pint|numpy|ndarray|Traceback|exception|"
          r"attribute|keyword|iterable|nan|inf|dict|dimensionality|unpack|subscript\w*|operand\w*|\w+Error|"
          r"\w+Warning|__\w+__|sys\.\w+|Errno)\b")
REPR = r"\\x[0-9a-f]{2}|\\u[0-9a-f]{4}|<class|array\(|Quantity\(|dtype="
OWN_WORDS = r"'[^']*'|\"[^\"]*\"|“[^”]*”"       # what somebody wrote, repeated in quotes

# units of one system that must not stand alone in a sentence for the other; inches name pipes everywhere
US_ONLY = (r"\d[ -]?(?:ft|feet|foot|acres?|acre-ft|gal|gallons|psi|cfm|gpm|°F|F°|lbs?|lb/\w+|mph|inH2O|in²|ft²|ft/s)"
           r"(?![\w²³/])")
METRIC_ONLY = r"\d ?(?:m|cm|kPa|L|L/min|L/s|m²|m³|°C|C°|kg|kg/\w+|ha|m/s|cm²|metres?|meters?)(?![\w²³/])"


def unkind(message):
    """What is wrong with a refusal, or None: too short or long, more than a paragraph, no advice, or Python."""
    if not 30 <= len(message) <= 700:
        return f"it has {len(message)} signs"
    if "\n" in message.strip():
        return "it has more than one paragraph"
    if not re.search(ADVICE, message, re.IGNORECASE):
        return "it does not say what to do"
    speaks = re.search(PYTHON, re.sub(OWN_WORDS, "", message)) or re.search(REPR, message)
    return f"it speaks Python: {speaks[0]!r}" if speaks else None


def foreign(sentence, system):
    """The first amount in a unit of the other system that stands alone, or None."""
    alone = re.sub(r"\([^()]*\)|“[^”]*”|'[^']*'", "", sentence)
    found = re.search(METRIC_ONLY if system == "US" else US_ONLY, alone)
    return found and alone[max(0, found.start() - 40):found.end() + 10]


def unfinished(text):
    """What a number that is none left behind in a text, or None."""
    found = re.search(r"(?<![\w.'-])(?:-?nan|-?inf|None(?! of\b)|no value)(?![\w'-])", text)
    return found and text[max(0, found.start() - 40):found.end() + 20]


# ---- what people do to a file: each takes the good text and gives another ----

def _top(lines):
    return next(i for i, line in enumerate(lines) if line.strip() and not line.startswith("#"))


def heading(words):
    """Other words in the heading."""
    def made(text):
        lines = text.splitlines()
        lines[_top(lines)] = words
        return "\n".join(lines)
    return made


def cell(value, row, column):
    """Another entry in one cell, counted from the row under the heading."""
    def made(text):
        lines = text.splitlines()
        at = min(_top(lines) + row, len(lines) - 1)
        cells = lines[at].split(",")
        cells[column % len(cells)] = value
        lines[at] = ",".join(cells)
        return "\n".join(lines)
    return made


def rows(change):
    """Other rows under the heading."""
    def made(text):
        lines = text.splitlines()
        first = _top(lines) + 1
        return "\n".join([*lines[:first], *change(lines[first:])])
    return made


def cells(change):
    """A change to every entry under the heading."""
    return rows(lambda lines: [",".join(change(entry.strip()) for entry in line.split(",")) for line in lines])


def _without_units(text):
    return re.sub(r"\s*\([^)]*\)|_ft\b|_m\b|_F\b|_mg_L\b|(?<=\d) (ft|in|F|psi|cfm)\b", "", text)


def _wrong_units(text):
    for right, wrong in (("ft", "psi"), ("(F)", "(ft)"), ("_F", "_kg"), ("mg/L", "kg"), ("cfm", "acre"),
                         ("(min)", "(lb)"), ("mph", "gal"), ("°F", "ha")):
        text = text.replace(right, wrong)
    return text


# the same numbers in another dress: every reader of files must read them alike
SAME = {"semicolons": lambda t: t.replace(",", ";"), "tabs": lambda t: t.replace(",", "\t"),
        "decimal commas beside semicolons": lambda t: t.replace(",", ";").replace(".", ","),
        "line ends of an old machine": lambda t: t.replace("\n", "\r"), "byte mark": lambda t: "\ufeff" + t,
        "byte mark in a file": lambda t: t.encode("utf-8-sig"), "UTF-16": lambda t: t.encode("utf-16"),
        "UTF-16 without a mark": lambda t: t.encode("utf-16-le"),
        "Latin-1": lambda t: ("# caf\u00e9\n" + t).encode("latin-1"), "blank lines": lambda t: t + "\n\n   \n",
        "zero bytes behind it": lambda t: t + "\0" * 300, "hard blanks": lambda t: t.replace(" ", "\u00a0")}
# never a table that can be used
NEVER = {"empty": lambda t: "", "blanks": lambda t: " \n \n", "heading alone": rows(lambda lines: []),
         "other heading": heading("alpha,beta,gamma"), "one column": lambda t: re.sub("(?m),.*$", "", t),
         "decimal commas between commas": lambda t: t.replace(".", ","), "name of a file": lambda t: "readings.csv",
         "zero bytes": lambda t: "\0" * 300, "picture": lambda t: bytes(range(256)) * 9,
         "spreadsheet": lambda t: b"PK\x03\x04" + bytes(60), "one long word": lambda t: "x" * 200_000,
         "far too long a row": heading('"' + "h" * 200_000 + '",b,c'), "settings": lambda t: '{"a": [1, 2]}',
         "web page": lambda t: "<html><body><table><tr><td>1</td></tr></table></body></html>",
         "every cell words": cells(lambda entry: "wet"), "every cell missing": cells(lambda entry: "nan"),
         "every cell endless": cells(lambda entry: "1e999"), "every cell a formula": cells(lambda entry: "=1+1")}
# may be read or refused, but kindly
MAYBE = {"last column gone": lambda t: re.sub("(?m),[^,\n]*$", "", t), "no heading": heading("# nothing"),
         "no units": _without_units, "wrong units": _wrong_units, "one row": rows(lambda lines: lines[:1]),
         "last row twice": rows(lambda lines: [*lines, lines[-1]]),
         "one row five times": rows(lambda lines: lines[:1] * 5), "rows turned round": rows(lambda lines: lines[::-1]),
         "every number negative": cells(lambda entry: "-" + entry),
         "every number huge": cells(lambda entry: entry + "e12"), "every number one": cells(lambda entry: "1"),
         "a quotation mark": lambda t: t.replace(",", ',"', 1), "quoted to the end": lambda t: '"' + t,
         "lost digits": lambda t: t[:len(t) // 2] + "\0\0" + t[len(t) // 2:],
         "long heading": lambda t: t.replace(",", "," + "h" * 9000, 1), "separator line": lambda t: "sep=x\n" + t}
BAD_CELLS = ("", "nan", "inf", "1e999", "-1e999", "-5", "=1+1", "__import__('os').system('ls')", "about three", "1_000",
             "<script>alert(1)</script>", "3,5", "5 furlongs", "9" * 5000, "wet " * 5000, "8\x003", "½", "٣", '"')
MAYBE |= {f"{value[:12]!r} in column {column}": cell(value, 2, column) for value in BAD_CELLS for column in (0, 1, -1)}

# what people type into a box for one quantity
TYPED = ("", "   ", "abc", "12", "-5 ft", "0 ft", "nan", "inf", "1e999", "1e999 ft", "1e-300 m", "99999999 ft", "5 psi",
         "5 lb", "200 F", "-400 F", "=1+1", "__import__('os')", "<script>alert(1)</script>", "3,5 m", "1,2,3 ft", "\0",
         "5 ft\0", "\ufeff5 ft", "x" * 20_000, "9" * 5000, "9" * 5000 + "/3 in", "9" * 400 + "/7 in", "1/0 in",
         "5 furlongs", "12 ft 6 in 3", "5'6\"7", "½ in", "1_000 ft", "a,b\n1,2", "12; 13", "7:00 PM", "25/12/2026", "+",
         "5 ft/0", "5 per per ft", "0x10 ft", "1e5e5 m", "${price}", "%s", "{0}", "5 °", "5 ' \"", "--5 ft")
