"""Write every workbook as a page for reading: ``python workbooks/instructor/serve/reading_pages.py``.

The pages show what is stored in the workbooks: words, figures and numbers, no code. They go into
``build/reading``, need no network and no Python, and can be put on a stick or printed.
"""

import html
import re
import shutil
import sys
from pathlib import Path

import nbformat
from nbconvert import HTMLExporter
from traitlets.config import Config

HERE = Path(__file__).resolve().parent
WORKBOOKS = HERE.parents[1]
OUT = WORKBOOKS.parent / "build" / "reading"
TONIGHT = "worksheets/fish-gasping-tonight.html"
INDEX = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Air for the pond: pages for reading</title>
<style>body {{ font: 18px/1.5 sans-serif; max-width: 700px; margin: 30px auto; padding: 0 16px }}</style></head>
<body><main><h1>Air for the pond</h1>
<p><b>Fish gasping tonight?</b> <a href="{tonight}">One page to print.</a></p>
<p>Pages for reading. Sliders, checks and forms work only in the live workbooks.</p>
<ol start="0" style="list-style: none; padding: 0">
{rows}
</ol></main></body></html>
"""


def exporter():
    """The converter: our page template, no code and no prompts."""
    chosen = Config()
    chosen.TemplateExporter.extra_template_basedirs = [str(HERE / "nbconvert" / "templates")]
    chosen.TemplateExporter.exclude_input = True
    chosen.TemplateExporter.exclude_input_prompt = True
    chosen.TemplateExporter.exclude_output_prompt = True
    return HTMLExporter(config=chosen, template_name="reading")


def title(notebook):
    """The question at the top of a workbook."""
    found = re.search(r"(?m)^# +(.+?)\s*$", notebook.cells[0].source)
    if found is None:
        raise ValueError("The first cell of a workbook begins with its title: a line '# ...?'.")
    return found[1]


def page(path, convert):
    """Title and page of one workbook."""
    notebook = nbformat.read(path, as_version=4)
    question = notebook.metadata["title"] = title(notebook)
    body, _ = convert.from_notebook_node(notebook)
    body = re.sub(r'href="([\w-]+)\.ipynb', r'href="\1.html', body)     # workbooks point to one another
    return question, re.sub(r"[ \t]+\n", "\n", body)


def main(out=OUT):
    """Write the pages and a list of them; say where."""
    out.mkdir(parents=True, exist_ok=True)
    convert, rows = exporter(), []
    for path in sorted(WORKBOOKS.glob("*.ipynb")):
        question, body = page(path, convert)
        (out / f"{path.stem}.html").write_text(body, encoding="utf-8")
        rows.append(f'<li><a href="{path.stem}.html">{path.stem[:2]} {html.escape(question)}</a></li>')
    (out / TONIGHT).parent.mkdir(exist_ok=True)
    shutil.copyfile(WORKBOOKS / TONIGHT, out / TONIGHT)        # workbooks point to it as well
    (out / "index.html").write_text(INDEX.format(rows="\n".join(rows), tonight=TONIGHT), encoding="utf-8")
    print(f"{len(rows)} pages for reading. Open {out / 'index.html'}")


if __name__ == "__main__":
    main(*(Path(name) for name in sys.argv[1:2]))
