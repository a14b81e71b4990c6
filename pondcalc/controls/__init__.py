"""The widgets: explorers with sliders, questions, and the buttons that keep a pond record.

Only this folder touches ipywidgets. An explorer joins a model from ``pondcalc``, a drawing
function from ``pondcalc.figures`` and a sentence; each one is a short function here.
"""
