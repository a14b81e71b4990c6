"""Calculations behind a set of teaching workbooks on bottom aeration of farm ponds.

One module answers one physical question; see DEVELOPERS.md for the map. The
functions take quantities with units (``"19 ft"``) and give quantities back.
"""

__version__ = "0.1.0"
