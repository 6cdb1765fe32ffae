"""The built site for the circuits' browser tests: the same fixtures as the other browser tests."""

from tests.browser.conftest import (
    all_regulars,
    browser,
    newcomer,
    phone,
    regulars,
    scriptless,
    served,
)

__all__ = ["all_regulars", "browser", "newcomer", "phone", "regulars", "scriptless", "served"]
