"""One drawing function per figure: data and a figure in, marks on the figure out.

Each function clears nothing and returns nothing; :func:`pondcalc.figures.style.render` does the
rest. Axis limits come from what a slider can reach, not from where it is, so nothing jumps.
"""
