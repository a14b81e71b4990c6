"""What does an error or a caution know, so that each place can word it for its own reader?

A notebook cell shows the whole of it, with the function that speaks. A page leaves that name out, and a box puts its
own name and its own example in place of the general advice.
"""


class Facts(Exception):
    """What is wrong, apart from what to do about it.

    why: What is wrong, as a sentence or more; by default that `given` is outside `allowed`.
    do: Advice that holds for anybody; who knows better, such as a box with an example, says that instead.
    what: Name of the box or thing that it is about.
    given, allowed: What came, and what may come.
    by: The function that speaks, and its argument; it means something only to who writes code.
    """

    def __init__(self, why="", do="", *, what="", given="", allowed="", by=""):
        self.why, self.do, self.what = why or f"{given} is outside {allowed}.", do, what
        self.given, self.allowed, self.by = given, allowed, by
        super().__init__(str(self))

    @property
    def plain(self):
        """The words for a page: without the function that speaks."""
        named = f"“{self.what}”{' ' if self.why.startswith(('is ', 'cannot ')) else ': '}" if self.what else ""
        return f"{named}{self.why} {self.do}".rstrip()

    def __str__(self):
        return f"{self.by}: {self.plain}" if self.by else self.plain


class Refused(Facts, ValueError):
    """Something that cannot be used."""


class Caution(Facts, UserWarning):
    """Something that can be used, with care."""


def plainly(problem):
    """The words of an error or a caution for a page."""
    return problem.plain if isinstance(problem, Facts) else str(problem).rstrip()
