"""Workbook 00: open, start and save a pond record, with words for what went wrong; what one more foot of water is."""

import html
from pathlib import Path
from types import SimpleNamespace

import ipywidgets as W

from .. import findings, record
from ..figures import how_much_water as draw
from ..how_much_water import handvolume
from ..spellings import shortened
from ..units import Q, QuantityError, show
from ..your_plan import staleness
from .explorer import FIT, Explorer, Panel, Slider
from .ownform import CLASS, STYLE, Box, grid, plain, read_all
from .page import guarded, said


def open_pond(borrows=None, path=record.FILE_NAME):
    """The reader's own record, or the demonstration pond where there is none that can be used.

    borrows: Section, such as ``"water"``, that this workbook takes from the demonstration pond while the reader's own
        lacks it.
    path (path).
    Returns: tuple of (record.PondRecord, str): The pond, and a sentence that says which pond it is and why.
    """
    try:
        pond = record.open_pond(path)
    except record.RecordError as problem:
        return record.demo(), f"{problem} Until then the demonstration pond is shown."
    if pond.invented:
        return pond, " ".join([*pond.notes, f"Now in use: {pond.name}, the invented demonstration pond. To use your "
                                            "own, fill in the form in workbook 00."])
    done = ", ".join(f"{name} ({how})" if (how := pond.get(name, "found")) else name
                     for name in pond.sections if name != "site") or "nothing yet"
    words = f"Now in use: {pond.name}. Found and saved so far: {done}."
    if borrows and not pond.has(borrows):
        words = (f"Your pond {pond.name} has no “{borrows}” yet, so wherever a picture or a number needs it, that of "
                 f"{record.demo().name}, the invented demonstration pond, stands in. Do the workbook that finds it and "
                 f"save, then run this one again. Found and saved so far: {done}.")
    more = (findings.say_second(pond, pond.system), *(item.words for item in staleness.stale(pond)))
    return pond, " ".join([*pond.notes, words, *filter(None, more)])


LONGEST_NAME = 80
# a folded code cell shows its first line; without this a long one makes the whole page scroll sideways, printed
# results break inside words on a narrow one, and the words on buttons and beside check boxes are cut off on a phone
FITTED = ("<style>.pond-panel .jupyter-button {white-space: normal; height: auto; min-height: 28px; max-width: 100%;"
          " line-height: 1.3; padding-top: 3px; padding-bottom: 3px}"
          ".pond-panel .widget-checkbox {height: auto; max-width: 100%}"
          ".pond-panel .widget-label-basic {white-space: normal; height: auto; align-items: start; line-height: 1.3}"
          ".jp-InputPlaceholder, .jp-Placeholder-content, .jp-Placeholder-contentContainer {min-width: 0}"
          ".jp-InputPlaceholder {flex: 1 1 0; overflow: hidden}"
          ".jp-PlaceholderText {overflow: hidden; text-overflow: ellipsis; white-space: nowrap}"
          ".jp-OutputArea-output pre {word-break: normal; overflow-wrap: break-word}</style>")


class Banner(W.HTML):
    """A sentence across the page, announced to screen readers."""

    def __init__(self, words):
        self._words = words
        super().__init__(f'{FITTED}<div style="border:1px solid #777;padding:4px 8px;max-width:700px">{said(words)}'
                         "</div>")

    def __repr__(self):
        return self._words

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            bundle["text/plain"], bundle["text/html"] = self._words, f"<p>{html.escape(self._words)}</p>"
        return bundle


def _not_in_inches(height):
    """A height above sea level, unless its unit is one that nobody measures heights in."""
    meant = {"inch": "ft", "centimeter": "m", "millimeter": "m"}.get(str(height.units))
    if meant:
        raise QuantityError(f"heights above sea level are not given in {height.units:~P}. Did you mean "
                            f"{height.magnitude:g} {meant}?")
    return height


class PondForm(Panel):
    """Name the pond and its place, and start its record or change it."""

    def __init__(self, path=record.FILE_NAME):
        self._path = path
        now, words = open_pond(path=path)
        site = {} if now.invented else now.sections.get("site", {})
        self.name = W.Text(description="Name of the pond", placeholder="for example: North pasture pond",
                           value="" if now.invented else now.name)
        self.elevation = Box.of("site", "elevation", now.system, self._text(site, "elevation", now.system),
                                convert=_not_in_inches)
        self.price = Box.of("site", "price", now.system, self._text(site, "price", now.system), optional=True)
        self.system = W.Dropdown(description="Units I like", options=["US", "metric"], value=now.system)
        self._new, self._shown = now.invented, self._standing()
        start = W.Button(description="Keep this as my pond", icon="save", layout=FIT)
        self.message = W.HTML(said(words))
        start.on_click(lambda _: guarded(self.message, self.keep, "Not kept", self.system.value))
        super().__init__([W.HTML(STYLE), grid(self.name, self.elevation, self.price, self.system), start, self.message])
        self.add_class(CLASS)

    def __repr__(self):
        return "Form: start or change my pond"

    def _standing(self):
        return {"name": self.name.value, "elevation": self.elevation.value, "price": self.price.value,
                "system": self.system.value}

    def _touched(self, name, site):
        """Name, units and place to keep: what the reader left alone stays as it is in the file by now."""
        if self._new or not Path(self._path).exists():
            return name, self.system.value, site
        now, same = record.load(self._path), {key for key, text in self._standing().items() if self._shown[key] == text}
        return (now.name if "name" in same else name, now.system if "system" in same else self.system.value,
                {key: value for key, value in site.items() if key not in same or now.get("site", key) is None})

    @staticmethod
    def _text(site, key, system):
        return plain(site[key], key, system) if key in site else ""

    def keep(self):
        """Save name, place and price, and say what was saved and what comes next; other sections stay."""
        name = shortened(self.name.value, 10_000)
        if not name:
            raise QuantityError("“Name of the pond” is empty. Write any name; it can be changed.")
        if len(name) > LONGEST_NAME:
            raise QuantityError(f"“Name of the pond” has {len(name):,} signs. Keep it to {LONGEST_NAME}, so that it "
                                "fits on a line.")
        site = read_all(elevation=self.elevation, price=self.price)
        kept = record.rename(*self._touched(name, site), self._path)
        name, system = self.name.value, self.system.value = kept.name, kept.system
        self._new, self._shown = False, self._standing()
        site = {key: kept.get("site", key) for key in site}
        done = [f"{show(site['elevation'], 'elevation', system, digits=4)} above sea level",
                *([f"electricity at {show(site['price'], 'price', system)}"] if "price" in site else []),
                f"units {system}"]
        words = f"Saved for {name}: {', '.join(done)}."
        if set(kept.sections) == {"site"}:
            return f"{words} Next: workbook 01, which finds how much water it holds."
        return f"{words} {open_pond(path=self._path)[1]}"


def _block(area, depth):
    volume = handvolume.volume_from_mean_depth(area, depth)
    extra = handvolume.volume_from_mean_depth(area, 0.3048)
    return SimpleNamespace(area=area, depth=depth, volume=volume, extra=extra)


def _say(block, system):
    volume, extra = Q(block.volume, "m3"), Q(block.extra, "m3")
    gallons = show(volume, "bucket", system)
    foot = "foot" if system == "US" else "0.3 m (a foot)"
    return (f"{show(block.area, 'area', system)} at {show(block.depth, 'depth', system)} mean depth "
            f"holds {show(volume, 'volume', system)}, which is {gallons}. One more {foot} of water on "
            f"top would add {show(extra, 'volume', system)}.")


def acre_foot(system="US"):
    """How much water is a foot of depth over a whole pond?"""
    return Explorer("What one more foot of water means", _block, draw.acre_foot, _say,
                    [Slider.of("water", "area", "2 acre"), Slider.of("water", "mean_depth", "6 ft", "depth")],
                    presets={"Garden pond": {"area": "0.1 acre", "depth": "2 ft"},
                             "Large farm pond": {"area": "6 acre", "depth": "9 ft"}}, system=system)
