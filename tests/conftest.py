"""What every test may use."""

import os
import shutil
from collections.abc import Iterator
from types import CodeType
from typing import Any

import pytest
from hypothesis import settings
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

from generator.build import Loaded, load
from generator.folders import Folders
from generator.render.pages.markdown import Sandbox
from generator.render.pages.write import Rendered, render_pages
from tests.frozen import FOLDERS, ROOT
from tests.sample import EXPLORED

# No limit on time: a busy machine must not fail a test. `repeatable`: the same examples every run. `explore`: others
# every time, more of them; HANDBOOK_EXPLORE=<seed> chooses which, and a failure is met again by the same seed.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("explore", derandomize=False, deadline=None, max_examples=500, print_blob=True)


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Load the profile, and give Hypothesis the seed to explore from."""
    settings.load_profile("explore" if EXPLORED else "repeatable")
    if EXPLORED:
        config.option.hypothesis_seed = EXPLORED


class CompiledOnce(BytecodeCache):
    """Compiled templates by name and text, wherever they lie: the same ones are rendered from many folders."""

    def __init__(self) -> None:
        self.known: dict[tuple[str, str], CodeType | None] = {}

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        return name

    def load_bytecode(self, bucket: Bucket) -> None:
        bucket.code = self.known.get((bucket.key, bucket.checksum))

    def dump_bytecode(self, bucket: Bucket) -> None:
        self.known[bucket.key, bucket.checksum] = bucket.code


@pytest.fixture(autouse=True, scope="session")
def compiled_once() -> Iterator[None]:
    """Give every environment of templates that keeps none one cache, in this process alone."""
    known, begin = CompiledOnce(), Sandbox.__init__

    def kept(self: Sandbox, **options: Any) -> None:
        begin(self, **options | {"bytecode_cache": options.get("bytecode_cache") or known})

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Sandbox, "__init__", kept)
        yield


@pytest.fixture(scope="session")
def loaded() -> Loaded:
    """The demo, read and computed."""
    return load(FOLDERS)


@pytest.fixture(scope="session")
def shipped() -> Loaded:
    """The handbook in site_data/, where HANDBOOK_DEMO=1 says that it is the demo: a writer may have any other there."""
    if os.environ.get("HANDBOOK_DEMO") != "1":
        pytest.skip("site_data/ may be a writer's own; HANDBOOK_DEMO=1 tests that it is the demo")
    return load(Folders(ROOT))


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
