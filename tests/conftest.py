"""Settings shared by all tests."""

import hypothesis

# no time limit on an example: a busy machine is not a defect, and nothing in the tests asserts a time
hypothesis.settings.register_profile("calm", deadline=None)
hypothesis.settings.load_profile("calm")
