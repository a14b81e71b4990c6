"""Write the teaching kit again from the workbooks and the question files, the same bytes each time.

    python workbooks/instructor/make_kit.py             the pages kept with the project
    python workbooks/instructor/make_kit.py --slides    slides as well, into build/slides

Run it after any change to a workbook or to a file of ``data/questions``; ``tests/test_kit.py`` fails until you do.
"""

import re
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
if str(HERE) not in sys.path:
    sys.path.insert(0, str(HERE))

import kit_pages  # noqa: E402
import kit_slides  # noqa: E402
import reading  # noqa: E402
from kit_sources import FOLDER, read_books  # noqa: E402

SLIDES = FOLDER.parent / "build" / "slides"
GUIDE = HERE / "guide.md"


def grades(books):
    """Reading grade of each workbook, and of its questions with their replies."""
    return {book.name: (reading.grade(book.prose()), reading.grade(question_words(book))) for book in books}


def question_words(book):
    """All that the questions of a workbook say, as one text."""
    said = []
    for entry in book.questions.values():
        said.append(entry["ask"])
        for option in entry.get("options", entry.get("slips", [])):
            said.append(option["reply"])
        said += [entry[part] for part in ("hint", "solution") if part in entry]
    return "\n\n".join(said)


def minutes_table(books):
    """Minutes and reading grade of each workbook, in Markdown."""
    found = grades(books)
    out = ["| workbook | minutes alone | minutes with a group | grade of the text | grade of the questions |",
           "| --- | --- | --- | --- | --- |"]
    together = [5 * round(book.minutes * 1.3 / 5) for book in books]
    for book, minutes in zip(books, together, strict=True):
        text, asks = found[book.name]
        out.append(f"| {book.name} | {book.minutes} | {minutes} | {text:.1f} | {asks:.1f} |")
    return "\n".join(out + [f"| all | {sum(book.minutes for book in books)} | {sum(together)} | | |"])


def guide(books):
    """The guide with its measured table renewed; all other words are written by hand."""
    text = GUIDE.read_text(encoding="utf-8")
    return re.sub(r"(?s)(<!-- minutes -->\n).*?(<!-- end -->)",
                  lambda ends: f"{ends[1]}{minutes_table(books)}\n{ends[2]}", text)


def pages(books):
    """Text of every page kept with the project, by its place under ``workbooks``."""
    made = {"instructor/answer-key.md": kit_pages.answer_key(books), "instructor/quiz-key.md": kit_pages.quiz_key(),
            "instructor/guide.md": guide(books), "glossary.md": kit_pages.glossary(books),
            "worksheets/quiz.html": kit_pages.quiz_page(),
            "worksheets/fish-gasping-tonight.html": kit_pages.tonight_page()}
    made.update({f"worksheets/{book.name}.html": kit_pages.worksheet(book) for book in books})
    return made


def write(folder, made):
    """Write the pages, with the same line ends on every system."""
    for name, text in made.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8"))


def main(words):
    """Write what was asked for and say where it went."""
    books = read_books()
    made = pages(books)
    write(FOLDER, made)
    print(f"{len(made)} pages written under workbooks.")
    if "--slides" in words:
        write(SLIDES, {f"{book.name}.html": kit_slides.deck(book) for book in books})
        print(f"{len(books)} sets of slides written to build/slides; open them in a browser.")


if __name__ == "__main__":
    main(sys.argv[1:])
