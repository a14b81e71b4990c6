"""What do the workbooks and the question files say? Read for the teaching kit; nothing here writes."""

import json
import re
from dataclasses import dataclass
from pathlib import Path

from pondcalc import checks

FOLDER = Path(__file__).resolve().parent.parent
IGNORE = "nbval-ignore-output"
QUIZ = "quiz"


@dataclass(frozen=True)
class Figure:
    """A stored picture: the address that holds all of it, and the sentence that says it in words."""

    address: str
    words: str


@dataclass(frozen=True)
class Book:
    """One workbook as stored: its cells, and its questions in the order in which they are asked."""

    name: str
    cells: tuple
    asked: tuple
    questions: dict

    @property
    def number(self):
        """Two digits, as in the name of the file."""
        return self.name[:2]

    @property
    def title(self):
        """The question that the workbook answers."""
        return re.search(r"(?m)^# (.+)$", source(self.cells[0]))[1]

    @property
    def minutes(self):
        """Minutes promised in the first cell."""
        return int(re.search(r"(\d+) minutes", source(self.cells[0]))[1])

    def part(self, heading):
        """The cells under one level-2 heading, the heading taken off."""
        found, inside = [], False
        for cell in self.cells:
            text = source(cell)
            if cell["cell_type"] == "markdown":
                top = re.search(r"(?m)^## (.+)$", text)
                if top:
                    inside = top[1].startswith(heading)
                    text = text[top.end():].strip()
            if inside:
                found.append((cell, text))
        return found

    def words_of(self, heading):
        """The prose under one level-2 heading."""
        return "\n\n".join(text for cell, text in self.part(heading) if cell["cell_type"] == "markdown" and text)

    def steps(self):
        """Numbered steps: tuples of number, text and the lines that the checked cells print.

        Most stand in the worked example. Where prose stands between two cells of one step there, its last sentence
        is kept with the lines that follow it. Of a step further on only the text is taken.
        """
        steps, between, example = [], [], {id(cell) for cell, _ in self.part("Worked example")}
        for cell in self.cells:
            if cell["cell_type"] == "markdown":
                text = source(cell).strip()
                found = re.findall(r"(?ms)^\*\*Step (\d+)\.\s*(.+?)(?=\n\n|\Z)", text)
                steps += [(int(number), ("**" + words).removeprefix("****").strip(), []) for number, words in found]
                between = [] if found or not steps else [re.split(r"(?<=[.?!:]) (?=[A-Z])", text)[-1]]
            elif steps and id(cell) in example and IGNORE not in cell["metadata"].get("tags", []):
                lines = printed(cell).rstrip().splitlines()
                if lines:
                    steps[-1][2].extend([re.sub(r"[*`]", "", words) for words in between] + lines)
                    between = []
        return steps

    def figures(self):
        """Stored pictures in order, each once."""
        found = []
        for cell in self.cells:
            for output in cell.get("outputs", []):
                page = "".join(output.get("data", {}).get("text/html", ""))
                for words, address in re.findall(r'<img alt="([^"]*)"[^>]*?src="(data:image/[^"]+)"', page):
                    if address not in {figure.address for figure in found}:
                        found.append(Figure(address, words))
        return found

    def glossary(self):
        """Words taught here, with their meanings."""
        return re.findall(r"(?m)^[-*] \*\*(.+?)\*\*:\s*(.+)$", self.words_of("Words"))

    def prose(self):
        """All sentences a learner reads in a row: no headings, tables, code or list of sources."""
        texts = []
        for cell in self.cells:
            text = source(cell)
            if re.search(r"(?m)^## Sources", text):
                break
            if cell["cell_type"] == "markdown":
                texts.append(text)
        return "\n\n".join(texts)


def source(cell):
    """Text of a cell, however it is stored."""
    return cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])


def printed(cell):
    """What a code cell printed when its output was stored."""
    return "".join("".join(o["text"]) for o in cell.get("outputs", []) if o.get("name") == "stdout")


def raw_questions(name):
    """Questions of one file as written, by id, in order."""
    return {entry["id"]: entry for entry in checks.written(name)}


def read_book(path):
    """Read one workbook and its questions."""
    body = json.loads(path.read_text(encoding="utf-8"))
    code = "\n".join(source(cell) for cell in body["cells"] if cell["cell_type"] == "code")
    asked = tuple((kind, name) for kind, name in
                  re.findall(rf'quiz\.(Predict|Ask)\("{re.escape(path.stem)}", "([^"]+)"', code))
    return Book(path.stem, tuple(body["cells"]), asked, raw_questions(path.stem))


def read_books():
    """All workbooks in order."""
    return [read_book(path) for path in sorted(FOLDER.glob("[0-9][0-9]-*.ipynb"))]
