"""What every test may use."""

import os
import shutil

import pytest
from hypothesis import settings

# The same examples every run, and no limit on time: a busy machine must not fail a test.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of an installed Chromium. Without one the test is skipped, or fails where HANDBOOK_REQUIRE_BROWSER=1."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if path := shutil.which(name):
            return path
    if os.environ.get("HANDBOOK_REQUIRE_BROWSER") == "1":
        pytest.fail("HANDBOOK_REQUIRE_BROWSER=1, but no Chromium is installed")
    pytest.skip("no Chromium is installed")
