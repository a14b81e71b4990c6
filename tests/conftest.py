"""Settings shared by all tests."""

import functools
import pickle
import subprocess
import sys

import hypothesis
import pytest

# no time limit on an example: a busy machine is not a defect, and nothing in the tests asserts a time
hypothesis.settings.register_profile("search", deadline=None)
# the same examples each time, so that a red run means a change and not luck; new ones: --hypothesis-profile=search
hypothesis.settings.register_profile("calm", deadline=None, derandomize=True)
hypothesis.settings.load_profile("calm")

# what the whole needs beyond one file: each workbook's stored outputs compared by nbval, two files at a time
WHOLE = ["-p", "nbval", "--nbval", "--nbval-current-env", "-n", "2", "--dist", "loadfile"]


def pytest_cmdline_main(config):
    """``pytest`` without a path starts itself again with `WHOLE` and the paths of ``testpaths``; other runs go on."""
    if config.args_source is not config.ArgsSource.TESTPATHS:
        return None
    return subprocess.call([sys.executable, "-m", "pytest", *WHOLE, *config.invocation_params.args, *config.args])


def remembered(function):
    """The function, which works out once what it is asked again with the same numbers."""
    known = {}

    @functools.wraps(function)
    def again(*given, **named):
        try:
            asked = pickle.dumps((given, named))
        except TypeError:                       # what cannot be written down is worked out each time
            return function(*given, **named)
        if asked not in known:
            known[asked] = function(*given, **named)
        return known[asked]
    return again


@functools.cache
def long_sums():
    from pondcalc.your_plan import plan
    return [(plan, name, remembered(getattr(plan, name))) for name in ("first_plan", "matters_most")]


@pytest.fixture
def worked_out_once(monkeypatch):
    """For tests of what comes of a plan: the same plan is not worked out again."""
    for module, name, quick in long_sums():
        monkeypatch.setattr(module, name, quick)
