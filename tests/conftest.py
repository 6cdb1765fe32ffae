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


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The one driver of browsers; a second one in the same thread would be refused."""
    with sync_playwright() as started:
        yield started
