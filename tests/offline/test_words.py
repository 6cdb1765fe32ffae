"""What the page says of its copy: every state in plain words, every device its advice."""

import pytest
from playwright.sync_api import expect

from generator.copy_stamp import stamped, version_of
from tests.offline.conftest import finished_copy
from tests.support.server import FaultyServer
from tests.support.visitor import Visitor, wait_until_ready

pytestmark = pytest.mark.browser

FACTS = {
    "support": "yes",
    "built": "2026-10-01T12:00:00Z",
    "ready": 3,
    "of": 3,
    "readyFirst": 2,
    "first": 2,
    "bytes": 7_300_000,
    "filling": False,
    "failure": None,
    "newer": None,
    "offered": False,
    "offeredBuilt": None,
    "elsewhere": False,
    "other": False,
    "line": None,
    "checked": None,
    "lasting": None,
}
NOW = 1_790_000_000_000
LINE = {"reason": "line", "file": "a.bin", "detail": ""}


@pytest.fixture(scope="module")
def words(rendered, playwright, tmp_path_factory):
    """Calls a function of the words module in a browser."""
    folder = tmp_path_factory.mktemp("words")
    site = finished_copy(rendered, folder)
    script = stamped("browser/offline-words.js", version_of(site))
    server = FaultyServer(site)
    with server, Visitor(playwright, folder / "profile") as visitor:
        page = visitor.open(server.url)

        def say(function, *arguments):
            return page.evaluate(
                """async ([address, name, values]) => (await import(address))[name](...values)""",
                [server.url + script, function, list(arguments)],
            )

        yield say


@pytest.mark.parametrize(
    ("changes", "part"),
    [
        ({}, "All ready offline: 3 of 3 files are on this device."),
        (
            {"ready": 2, "readyFirst": 1},
            "Not ready offline: 2 of 3 files are on this device.",
        ),
        ({"ready": 1, "readyFirst": 1, "filling": True}, "Not ready offline yet: 1 of 3"),
        (
            {"ready": 2, "filling": True},
            "Pages and calculators are ready offline; study, worksheets and fault finding are being "
            "fetched: 2 of 3 files are on this device.",
        ),
        ({"ready": 2}, "worksheets and fault finding are not here yet: 2 of 3 files"),
        ({"ready": None, "of": None}, "is not known yet"),
        ({"ready": 2, "failure": LINE}, "The line was lost (a.bin); fetching goes on"),
        ({"ready": 2, "failure": LINE | {"reason": "bytes"}}, "was refused (a.bin)"),
        (
            {"ready": 2, "failure": LINE | {"reason": "host"}},
            "had an error in place of a file (a.b",
        ),
        ({"ready": 2, "failure": LINE | {"reason": "portal"}}, "most likely to sign in"),
        ({"ready": 2, "failure": LINE | {"reason": "room"}}, "takes about 8 MB"),
        ({"ready": 2, "failure": LINE | {"reason": "other", "detail": "why"}}, "stopped: why."),
        ({"support": "no"}, "This browser cannot keep the site"),
        ({"support": "insecure"}, "needs a secure address (https)"),
        ({"support": "refused"}, "refused to keep the site"),
    ],
)
def test_ready_words(words, changes, part):
    assert part in words("readyWords", FACTS | changes)


@pytest.mark.parametrize(
    ("minutes", "part"),
    [
        (0, "(just now)"),
        (1, "(1 minute ago)"),
        (119, "(119 minutes ago)"),
        (120, "(2 hours ago)"),
        (2879, "(47 hours ago)"),
        (2880, "(2 days ago)"),
        (-5, "(just now)"),
    ],
)
def test_last_check(words, minutes, part):
    facts = FACTS | {"checked": NOW - minutes * 60_000}

    assert words("checkedWords", facts, NOW).endswith(f"{part}.")


def test_never_checked(words):
    assert words("checkedWords", FACTS, NOW) == "An update has not been looked for yet."


@pytest.mark.parametrize(
    ("changes", "part"),
    [
        ({}, ""),
        ({"offered": True}, "A newer copy of this reference is ready."),
        ({"elsewhere": True}, "A newer copy was taken in another tab."),
        ({"newer": {"ready": 1, "of": 3, "failure": None}}, "is being fetched: 1 of 3 files"),
        ({"newer": {"ready": 1, "of": 3, "failure": LINE}}, "did not come whole"),
    ],
)
def test_newer_words(words, changes, part):
    said = words("newerWords", FACTS | changes)

    assert part in said
    assert bool(said) == bool(part)


@pytest.mark.parametrize(
    ("before", "after", "part"),
    [
        ({"ready": 1}, {"ready": 2}, ""),
        ({"ready": 2}, {"ready": 3}, "The whole site is now ready offline."),
        (
            {"ready": 1, "readyFirst": 1},
            {"ready": 2},
            "Pages and calculators are now ready offline.",
        ),
        ({"ready": None, "readyFirst": None}, {"ready": 2}, ""),
        ({"ready": None}, {"ready": 3}, ""),
        ({"ready": 2}, {"ready": 2, "failure": LINE}, "The line was lost"),
        ({"ready": 2, "failure": LINE}, {"ready": 2, "failure": LINE}, ""),
        ({}, {"offered": True}, "A newer copy of this reference is ready."),
        ({"offered": True}, {"offered": True}, ""),
    ],
)
def test_spoken_only_when_it_matters(words, before, after, part):
    said = words("announcement", FACTS | before, FACTS | after)

    assert part in said
    assert bool(said) == bool(part)


@pytest.mark.parametrize(
    ("agent", "part"),
    [
        (
            "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15",
            "choose Add to Home Screen",
        ),
        ("Mozilla/5.0 (Linux; Android 15) AppleWebKit/537.36 Chrome/140.0", "Install app or Add"),
        ("Mozilla/5.0 (X11; Linux x86_64) Chrome/140.0", "On a desk computer"),
    ],
)
def test_advice_for_the_device(serve, playwright, tmp_path, agent, part):
    server = serve()
    with Visitor(playwright, tmp_path / "profile", user_agent=agent) as visitor:
        page = visitor.open(server.url)
        page.get_by_text("Keep this reference on the device").click()

        keep = page.locator(".copy-status-keep")
        expect(keep).to_contain_text(part)
        expect(keep).to_contain_text("may remove this copy when the device runs short")
        keep.get_by_role("button", name="Ask the browser to keep this copy").click()
        expect(keep).to_contain_text("this copy")


def test_installed_site_needs_no_advice(serve, visitor):
    server = serve()
    # As an iPhone tells a page that was opened from the home screen.
    visitor.context.add_init_script("Object.defineProperty(navigator, 'standalone', {value: true})")
    page = visitor.context.pages[0]
    page.goto(server.url)
    wait_until_ready(page)
    page.get_by_text("Keep this reference on the device").click()

    expect(page.locator(".copy-status-keep")).to_contain_text("is installed on this device")
