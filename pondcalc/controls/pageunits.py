"""Which units does the reader want, US or metric: chosen once, for all that stands on a page."""

__all__ = ["PAGE", "PageUnits"]


class PageUnits:
    """The choice of one reader, and who follows it.

    Until something is chosen, each part of the page starts in the units of the pond it shows.
    """

    def __init__(self):
        self._chosen, self._followers = None, {}

    def of(self, start):
        """The units chosen, or `start` while nothing is."""
        return self._chosen or start

    def join(self, name, follow):
        """Call ``follow(system)`` at each choice; one that joins later by the same name takes its place.

        So a cell that is run again leaves no picture behind that nobody sees and that is drawn all the same.
        """
        self._followers[name] = follow

    def choose(self, system, first=None):
        """Let all follow, the one named `first` before the others: the reader is looking at it."""
        self._chosen = system
        for name in sorted(self._followers, key=lambda name: name != first):
            self._followers[name](system)


PAGE = PageUnits()          # one kernel serves one page
