"""Questions on the page: predict before the sliders appear, then check yourself."""

import html

import ipywidgets as W

from .. import checks
from .explorer import FIT, Panel
from .page import PAGE, said

# long options wrap in a narrow window; without this their lines lie over each other
_WRAP = ("<style>.pond-question .widget-radio-box{height:auto;width:auto}.pond-question .widget-radio-box label"
         "{display:flex;flex-direction:row-reverse;justify-content:flex-end;gap:8px;height:auto;white-space:normal;"
         "line-height:1.35;margin:3px 0;padding:0}"
         ".pond-question .widget-radio-box input{position:static;flex:none;margin:3px 0 0 4px}</style>")


def _reply(verdict):
    edge, mark = {True: ("#009E73", "✔ Right. "), False: ("#D55E00", "✘ Not quite. "),
                  None: ("#777777", "")}[verdict.right]
    return f'<div style="border-left:4px solid {edge};padding:2px 8px">{said(verdict.reply, f"<b>{mark}</b>")}</div>'


class _Question(Panel):
    """A question with a stable text form, so that stored outputs do not change; its units follow the page's."""

    def __init__(self, workbook, name, children, system, units):
        self._place, self._words = (workbook, name), W.HTML()
        self._asked = checks.question(workbook, name)
        super().__init__([self._words, *children], layout={"max_width": "860px"})
        self.add_class("pond-question")
        self.set_system(units.of(system))
        units.join(f"question {name}", self.set_system)

    def set_system(self, system):
        """Put the reader's units first where both are named."""
        self._system = system
        self._words.value = (f'{_WRAP}<div style="max-width:700px;line-height:1.4"><b>'
                             f"{html.escape(checks.question(*self._place, system).ask)}</b></div>")

    def __repr__(self):
        return f"Question: {self._asked.ask}"

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            bundle["text/plain"] = repr(self)
            bundle["text/html"] = f"<p><b>{html.escape(self._asked.ask)}</b></p>" + self._fallback()
        return bundle

    def _fallback(self):
        """What stands on the page where no widget can: the options or the hint, never the answer."""
        if isinstance(self._asked, checks.Choice):
            return "<ul>" + "".join(f"<li>{html.escape(w)}</li>" for w, *_ in self._asked.options) + "</ul>"
        return f"<p>Hint: {html.escape(self._asked.hint)}</p>"


def _radio(asked, label):
    return W.RadioButtons(options=[words for words, *_ in asked.options], value=None, description=label,
                          layout={"width": "auto", "max_width": "740px"}, style={"description_width": "auto"})


class Predict(_Question):
    """Ask for a prediction; the explorer appears once one is recorded.

    workbook, name: Where the question stands.
    explorer (Explorer), units (pageunits.PageUnits).
    """

    def __init__(self, workbook, name, explorer, units=PAGE):
        asked = checks.question(workbook, name)
        self._pick = _radio(asked, "I predict")
        self._record = W.Button(description="Record my prediction and show the sliders",
                                layout=FIT, disabled=True)
        self._compare = W.Button(description="Compare with my prediction", layout=FIT)
        self._said = W.HTML()
        self._explorer = explorer
        self._pick.observe(self._picked, "value")
        self._record.on_click(self._show)
        self._compare.on_click(lambda _: self._tell())
        super().__init__(workbook, name, [self._pick, self._record], explorer.system, units)

    def _picked(self, _):
        # a pick the browser held back while the kernel was busy can come in after the button
        self._record.disabled = self._pick.value is None or self._pick.disabled

    def _show(self, _):
        self._pick.disabled = self._record.disabled = True
        self.children = (*self.children[:3], self._explorer, self._compare, self._said)

    def _tell(self):
        verdict = checks.judge(self._asked, self._pick.value)
        words = f"You predicted: “{self._pick.value}” {verdict.reply}"
        self._said.value = _reply(checks.Verdict(verdict.right, words))


class Ask(_Question):
    """A question to answer: pick an option, or type a number; with hint and solution."""

    def __init__(self, workbook, name, system="US", units=PAGE):
        asked = checks.question(workbook, name)
        reply, check = W.HTML(), W.Button(description="Check", layout=FIT)
        self._more = {}
        if isinstance(asked, checks.Choice):
            field = _radio(asked, "Answer")
        else:
            field = W.Text(description="Answer", placeholder="a number and its unit", layout={"width": "280px"},
                           continuous_update=False)
            self._more = {"hint": W.HTML(), "solution": W.HTML()}

        def judge(_):
            reply.value = _reply(checks.judge(asked, field.value or "", self._system))
        check.on_click(judge)
        if isinstance(asked, checks.Number):
            field.observe(judge, "value")        # Enter, or leaving the box
        row = [field, check] if isinstance(asked, checks.Choice) else [W.HBox([field, check])]
        super().__init__(workbook, name, [*row, reply, *self._more.values()], system, units)

    def set_system(self, system):
        """Put the reader's units first where both are named, in hint and solution too."""
        super().set_system(system)
        asked = checks.question(*self._place, system)
        for part, shown in self._more.items():
            shown.value = (f"<details><summary>{part.capitalize()}</summary><div style='max-width:700px'>"
                           f"{html.escape(getattr(asked, part))}</div></details>")
