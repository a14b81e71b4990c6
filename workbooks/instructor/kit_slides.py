"""Slides of one workbook in one file of HTML that asks nothing of any network."""

import html
import math
import re

from kit_pages import MADE, inline, lettered

STYLE = """
* { box-sizing: border-box; }
body { margin: 0; font: 26px/1.35 Helvetica, Arial, "DejaVu Sans", sans-serif; color: #111; background: #fff; }
section { min-height: 100vh; padding: 5vh 7vw; display: none; flex-direction: column; justify-content: center; }
section.on { display: flex; }
h1 { font-size: 48px; line-height: 1.15; margin: 0 0 0.5em; } h2 { font-size: 36px; margin: 0 0 0.5em; }
li { margin-bottom: 0.4em; }
figure { margin: 0; text-align: center; max-height: 90vh; display: flex; flex-direction: column; }
img { max-width: 86vw; flex: 0 1 66vh; min-height: 50vh; object-fit: contain; }
figcaption { font-size: 20px; max-width: 60em; margin: 0.5em auto 0; }
.foot { position: fixed; right: 1em; bottom: 0.6em; font-size: 16px; color: #555; }
.pick { list-style: upper-alpha; } .warn { border-left: 8px solid #D55E00; padding-left: 0.7em; font-size: 22px; }
@media print { section { display: flex; break-after: page; } .foot { display: none; } }
@media (max-width: 900px) { body { font-size: 19px; } h1 { font-size: 32px; } h2 { font-size: 26px; } }
"""
SCRIPT = """
const all = [...document.querySelectorAll('section')], foot = document.querySelector('.foot'); let at = 0;
function go(n) { at = Math.max(0, Math.min(all.length - 1, n));
  all.forEach((one, k) => one.classList.toggle('on', k === at)); foot.textContent = (at + 1) + ' / ' + all.length; }
addEventListener('keydown', e => { const step = {ArrowRight: 1, PageDown: 1, ' ': 1, ArrowLeft: -1, PageUp: -1}[e.key];
  if (step) { e.preventDefault(); go(at + step); } else if (e.key === 'Home') go(0);
  else if (e.key === 'End') go(1e9); });
addEventListener('click', e => go(at + (e.clientX < innerWidth / 3 ? -1 : 1)));
go(0);
"""
# entries of a list with the widest letters we know, DejaVu Sans, on the smallest screen we test, 1024 by 768
GAP = 0.4               # of a line, between two entries
RULE = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'"


def bullets(text):
    """HTML of a Markdown part made of paragraphs and one-level lists."""
    out, items = [], []
    for block in re.split(r"\n(?=[-*] |\d+\. )|\n\s*\n", text):
        block = block.strip()
        entry = re.match(r"(?:[-*]|\d+\.) (.+)", block, re.S)
        if entry:
            items.append(f"<li>{inline(entry[1])}</li>")
            continue
        if items:
            out.append(f"<ul>{''.join(items)}</ul>")
            items = []
        if block and not block.startswith("|"):
            out.append(f"<h3>{inline(block.lstrip('# '))}</h3>" if block.startswith("#") else f"<p>{inline(block)}</p>")
    return "".join(out) + (f"<ul>{''.join(items)}</ul>" if items else "")


def _chunks(text, most, wide, tall):
    """A long list in parts that fit on a slide: so many entries, and so many lines of that many letters."""
    parts, filled = [], 0.0
    for entry in re.split(r"\n(?=[-*] )", text.strip()):
        lines = math.ceil(len(entry) / wide) + GAP
        if not parts or len(parts[-1]) == most or filled + lines > tall:
            parts.append([])
            filled = 0.0
        parts[-1].append(entry)
        filled += lines
    return ["\n".join(part) for part in parts]


def deck(book):
    """All slides of one workbook."""
    slides = [f"<h1>{inline(book.title)}</h1>"
              f"<p>Workbook {book.number}. Alone it takes about {book.minutes} minutes.</p>"
              "<p><small>Arrow keys turn the page. The pond in the story is invented.</small></p>",
              f"<h2>What you will decide</h2>{bullets(book.words_of('What you will decide'))}",
              f"<h2>The pond in the story</h2>{bullets(book.words_of('The pond in the story'))}"]
    predictions = [book.questions[name] for kind, name in book.asked if kind == "Predict"]
    for entry in predictions:
        options = "".join(f"<li>{inline(option['words'])}</li>" for _, option in lettered(entry))
        slides.append(f"<h2>Predict first</h2><p>{inline(entry['ask'])}</p><ol class='pick'>{options}</ol>")
    for figure in book.figures():
        slides.append(f'<figure><img alt="{figure.words}" src="{figure.address}">'
                      f"<figcaption>{figure.words}</figcaption></figure>")
    for entry in predictions:
        letter, right = next((letter, option) for letter, option in lettered(entry) if option.get("right"))
        slides.append(f"<h2>Back to the prediction</h2><p>{inline(entry['ask'])}</p>"
                      f"<p><b>{letter}. {inline(right['words'])}</b></p><p>{inline(right['reply'])}</p>")
    slides += [f"<h2>Key points</h2>{bullets(part)}" for part in _chunks(book.words_of("Key points"), 5, 52, 14)]
    slides += [f"<h2>Cautions</h2><div class='warn'>{bullets(part)}</div>"
               for part in _chunks(book.words_of("Cautions"), 4, 60, 17)]
    body = "\n".join(f"<section>{slide}</section>" for slide in slides)
    return ('<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n' + MADE
            + f'<meta http-equiv="Content-Security-Policy" content="{RULE}">\n'
            + f"<title>{html.escape(book.title, quote=False)}</title>\n<style>{STYLE}</style></head>\n<body>\n{body}\n"
            + f"<div class='foot'></div>\n<script>{SCRIPT}</script>\n</body></html>\n")
