"""The form that writes the plan sheet beside the pond record."""

import ipywidgets as W

from .. import record
from ..your_plan import planchoice, planparts, plansheet
from .boxes import CLASS, STYLE
from .explorer import FIT, Panel
from .saying import guarded


class PlanSheet(Panel):
    """Name and remarks; a button that writes the printable sheet, and one that makes a PDF where a browser can.

    Parameters
    ----------
    pond : record.PondRecord
        Shown when there is no record file yet.
    path : path, optional
        Of the record; the sheet goes beside it.
    """

    def __init__(self, pond, path=record.FILE_NAME):
        self._pond, self._path = pond, path
        self.owner = W.Text(description="Name on the sheet", placeholder="for example: Okafor farm")
        self.remarks = W.Textarea(description="Remarks", rows=3, placeholder="for example: shed is 90 ft from the bank")
        write = W.Button(description="Write the plan sheet", icon="file-text", layout=FIT)
        as_pdf = W.Button(description="Write it and a PDF", icon="print", layout=FIT)
        self.message = W.HTML()
        write.on_click(lambda _: guarded(self.message, self.write, "Not written", pond.system))
        as_pdf.on_click(lambda _: guarded(self.message, self.write_pdf, "Not written", pond.system))
        super().__init__([W.HTML(STYLE), self.owner, self.remarks,
                          W.HBox([write, as_pdf], layout={"flex_flow": "row wrap"}), self.message],
                         layout={"max_width": "760px"})
        self.add_class(CLASS)

    def __repr__(self):
        return "Form: write my plan sheet"

    def _sheet(self):
        """Write the sheet from the record as it stands now, not as it was when the workbook was opened."""
        pond = record.open_pond(self._path)
        if not pond.has("water"):
            pond = planchoice.example_for(pond)
        if pond.invented and not self._pond.invented:           # the record file is gone: what was opened still stands
            pond = self._pond
        whole = planparts.whole_plan(pond)
        sheet = plansheet.write_sheet(whole, self._path, self.owner.value, self.remarks.value)
        what = "an EXAMPLE, not a plan, for" if pond.invented else "for"
        said = [f"Written: {sheet.name}, beside your pond record, {what} {pond.name}."]
        return sheet, [*said, *planparts.warnings_of(whole)]

    def write(self):
        """Write the page and say how to print it."""
        _, said = self._sheet()
        return "\n".join([*said, plansheet.HOW_TO_PRINT])

    def write_pdf(self):
        """Write the page, and a PDF where an installed browser can."""
        sheet, said = self._sheet()
        return "\n".join([*said, plansheet.to_pdf(sheet)[1]])
