"""What tests of several folders share."""

from collections.abc import Iterator

import pytest
from hypothesis import settings
from playwright.sync_api import Playwright, expect, sync_playwright

from tests.support.visitor import PATIENCE_MS

# The machines are shared and slow at times: how long an example takes decides nothing.
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")
expect.set_options(timeout=PATIENCE_MS)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark whatever drives a browser: ``python3 build check`` asks for neither one nor a site."""
    for item in items:
        if "playwright" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The one driver of browsers; a second one in the same thread would be refused."""
    with sync_playwright() as started:
        yield started
