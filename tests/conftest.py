"""What every test may use."""

import os
import shutil

import pytest
from hypothesis import settings

from generator.build import Loaded, load
from generator.render.pages import Rendered, render_pages
from tests.frozen import FOLDERS

# No limit on time: a busy machine must not fail a test. `repeatable`: the same examples every run. `explore`: others
# every time, more of them; HANDBOOK_EXPLORE=<seed> chooses which, and a failure is met again by the same seed.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("explore", derandomize=False, deadline=None, max_examples=500, print_blob=True)
EXPLORED = os.environ.get("HANDBOOK_EXPLORE", "")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Load the profile, and give Hypothesis the seed to explore from."""
    settings.load_profile("explore" if EXPLORED else "repeatable")
    if EXPLORED:
        config.option.hypothesis_seed = EXPLORED


@pytest.fixture(scope="session")
def loaded() -> Loaded:
    """The demo, read and computed."""
    return load(FOLDERS)


@pytest.fixture(scope="session")
def rendered(loaded: Loaded) -> tuple[Rendered, ...]:
    """The pages of the demo."""
    return render_pages(FOLDERS.content, loaded.book)


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of an installed Chromium. Without one the test is skipped, or fails where HANDBOOK_REQUIRE_BROWSER=1."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if path := shutil.which(name):
            return path
    if os.environ.get("HANDBOOK_REQUIRE_BROWSER") == "1":
        pytest.fail("HANDBOOK_REQUIRE_BROWSER=1, but no Chromium is installed")
    pytest.skip("no Chromium is installed")
