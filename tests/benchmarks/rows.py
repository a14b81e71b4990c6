"""What each benchmark is called in the joined table that ``run.py`` prints."""


def ours(benchmark, what):
    """Mark a benchmark as this package's way of doing `what`."""
    benchmark.extra_info.update(what=what, side="ours")


def library(benchmark, what, name, times=1.0):
    """Mark it as the way of a general library; the whole of `what` would take `times` as long as was run."""
    benchmark.extra_info.update(what=what, side="library", name=name, times=times)
