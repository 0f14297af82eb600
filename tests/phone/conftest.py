"""The browser that the bench page is looked at in: one for all of these tests, its driver's path given."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.phone.browser import Browser

NONE = "no Chromium with its driver here (apt-get install chromium chromium-driver): the bench page was NOT looked at"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Those that want the browser come first, together: workers steal from the end, so that one browser serves."""
    here = [item for item in items if "browser" in getattr(item, "fixturenames", ())]
    for item in here:
        item.add_marker(pytest.mark.xdist_group("browser"))
    items[:] = [*here, *(item for item in items if item not in set(here))]


@pytest.fixture(scope="session")
def _browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    browser = Browser.here(tmp_path_factory.mktemp("profile"))
    if browser is None:
        pytest.skip(NONE)
    yield browser
    browser.quit()


@pytest.fixture
def browser(_browser: Browser) -> Browser:
    """A window without a past: no cookie, nothing kept, the network there, a small phone upright."""
    _browser.fresh()
    return _browser
