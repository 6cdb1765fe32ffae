"""What tests of several folders share."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Playwright, sync_playwright


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The one driver of browsers; a second one in the same thread would be refused."""
    with sync_playwright() as started:
        yield started
