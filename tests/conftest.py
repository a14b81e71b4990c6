"""Settings shared by all tests."""

import subprocess
import sys

import hypothesis

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
