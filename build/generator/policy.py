"""The content security policy of the built site.

One policy for all pages: the theme's instant navigation keeps the first page's policy while it
swaps in the others, so every page must allow the inline scripts of all. An inline script is
allowed by the hash of its text, never by `unsafe-inline`.
"""

import base64
import hashlib
import html
import re
from html.parser import HTMLParser
from pathlib import Path

# Scripts that a browser runs or reads under `script-src`; any other type is data.
_RUN_TYPES = {
    "",
    "application/javascript",
    "importmap",
    "module",
    "speculationrules",
    "text/javascript",
}
# Attributes that make a browser fetch something while it shows the page.
_FETCHING = {
    ("audio", "src"),
    ("embed", "src"),
    ("iframe", "src"),
    ("img", "src"),
    ("input", "src"),
    ("link", "href"),
    ("object", "data"),
    ("script", "src"),
    ("source", "src"),
    ("track", "src"),
    ("video", "src"),
}
# Kinds of <link> that only name an address and fetch nothing.
_NAMING_LINKS = {"alternate", "author", "canonical", "help", "license", "next", "prev"}
_OUTSIDE = re.compile(r"\s*(?:[a-z][a-z0-9+.-]*:)?//", re.IGNORECASE)
_META = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>\n?')
_CHARSET = re.compile(r"<meta charset=[^>]*>\n?", re.IGNORECASE)


class PolicyError(ValueError):
    """A page holds what the policy forbids; the message lists page, line and what it is."""


def content_security_policy(site: Path) -> str:
    """Give the policy that every page and every worker of the built site goes out with.

    Parameters
    ----------
    site
        The folder of the built site.

    Returns
    -------
    str
        The policy, the hashes in a fixed order: the same pages give the same text.

    Raises
    ------
    PolicyError
        If a page carries what a policy without `unsafe-inline` would silently drop: event handler
        attributes, style attributes, `javascript:` addresses, or files from another origin.
    """
    scripts: set[str] = set()
    styles: set[str] = set()
    problems: list[str] = []
    for page in pages(site):
        found = _read(page)
        scripts |= found.scripts
        styles |= found.styles
        problems += [f"{page.relative_to(site)}, {problem}" for problem in found.problems]
    if problems:
        raise PolicyError(
            "the content security policy would not let this through:\n  " + "\n  ".join(problems)
        )
    script_sources = " ".join(["'self'", "'wasm-unsafe-eval'", *sorted(map(_source, scripts))])
    style_sources = " ".join(["'self'", *sorted(map(_source, styles))])
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src {script_sources}",
            "worker-src 'self'",
            "connect-src 'self'",
            f"style-src {style_sources}",
            "img-src 'self' data:",
            "font-src 'self'",
            "manifest-src 'self'",
            "base-uri 'self'",
            "form-action 'self'",
        ]
    )


def in_header(policy: str) -> str:
    """The policy as it goes out in a header, where alone a browser heeds who may frame a page."""
    return f"{policy}; frame-ancestors 'self'"


def write_policy(site: Path, policy: str) -> None:
    """Write the policy as the first element after the charset into every page of the site.

    A page that already carries one gets the new one, so that the step may run again.

    Raises
    ------
    PolicyError
        If a page declares no charset in its head, behind which the policy belongs.
    """
    meta = (
        f'<meta http-equiv="Content-Security-Policy" content="{html.escape(policy, quote=False)}">'
    )
    for page in pages(site):
        text = _META.sub("", page.read_text(encoding="utf-8"))
        charset = _CHARSET.search(text)
        if charset is None:
            raise PolicyError(f"{page.relative_to(site)} has no <meta charset> to put it behind")
        at = charset.end()
        page.write_text(f"{text[:at]}{meta}\n{text[at:]}", encoding="utf-8", newline="\n")


def pages(site: Path) -> list[Path]:
    """All HTML files of the site, in a fixed order."""
    return sorted(site.rglob("*.html"))


def _source(text: str) -> str:
    digest = hashlib.sha256(text.encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"


class _PageReader(HTMLParser):
    """Collects inline scripts and styles of one page, and what the policy forbids."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.scripts: set[str] = set()
        self.styles: set[str] = set()
        self.problems: list[str] = []
        self._into: set[str] | None = None
        self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        self._check(tag, values)
        if tag == "script" and "src" not in values:
            runs = values.get("type", "").strip().lower() in _RUN_TYPES
            self._into = self.scripts if runs else None
            self._text = ""
        elif tag == "style":
            self._into = self.styles
            self._text = ""

    def handle_data(self, data: str) -> None:
        if self._into is not None:
            self._text += data

    def handle_endtag(self, tag: str) -> None:
        if tag in {"script", "style"} and self._into is not None:
            self._into.add(self._text)
            self._into = None

    def _check(self, tag: str, values: dict[str, str]) -> None:
        for name, value in values.items():
            if name.startswith("on"):
                self._report(f"<{tag}> has an event handler attribute: {name}={value!r}")
            elif name == "style":
                self._report(f"<{tag}> has a style attribute: {value!r}")
            elif value.strip().lower().startswith("javascript:"):
                self._report(f"<{tag}> has a javascript: address: {value!r}")
            elif (tag, name) in _FETCHING and _OUTSIDE.match(value):
                kinds = set(values.get("rel", "").lower().split())
                if tag != "link" or not kinds <= _NAMING_LINKS:
                    self._report(f"<{tag}> fetches from another origin: {value!r}")

    def _report(self, problem: str) -> None:
        self.problems.append(f"line {self.getpos()[0]}: {problem}")


def _read(page: Path) -> _PageReader:
    reader = _PageReader()
    reader.feed(page.read_text(encoding="utf-8"))
    reader.close()
    return reader
