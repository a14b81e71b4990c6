"""Settings shared by all tests."""

import hypothesis

# no time limit on an example: a busy machine is not a defect, and nothing in the tests asserts a time
hypothesis.settings.register_profile("search", deadline=None)
# the same examples each time, so that a red run means a change and not luck; new ones: --hypothesis-profile=search
hypothesis.settings.register_profile("calm", deadline=None, derandomize=True)
hypothesis.settings.load_profile("calm")
