"""Pages of the built site in a browser, for a sitting on a phone."""

from tests.browser.conftest import all_regulars as all_regulars
from tests.browser.conftest import browser as browser
from tests.browser.conftest import newcomer as newcomer
from tests.browser.conftest import phone as phone
from tests.browser.conftest import regulars as regulars
from tests.browser.conftest import scriptless as scriptless
from tests.browser.conftest import served as served
