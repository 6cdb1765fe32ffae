"""The built site for the circuits' browser tests: the same fixtures as the other browser tests."""

from tests.browser.conftest import browser, phone, scriptless, served

__all__ = ["browser", "phone", "scriptless", "served"]
