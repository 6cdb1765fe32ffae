"""The page for an unknown address, made right under any sub-path.

It may be shown at any depth, so the renderer gives its links from the root of the host, for the one
sub-path that it was told. Whoever serves the page knows the true root and puts it in: the
development server with `rerooted`, the service worker with the same rule in JavaScript.
"""

import re

_BASE = re.compile(r'"base": ?"(/[^"]*)"')


def built_root(page: str) -> str:
    """Give the path that the page was built for, from the theme's own settings in the page.

    The page's links start with it; `/` where the page has no such settings.
    """
    found = _BASE.search(page)
    return found[1].rstrip("/") + "/" if found else "/"


def rerooted(page: str, *, root: str) -> str:
    """Give the page with every link from its built root turned to stand under another one.

    Parameters
    ----------
    page
        The HTML of the page for an unknown address.
    root
        The path that the site is served under, with a slash at both ends.

    Notes
    -----
    A quoted path behind an opening bracket stays: it stands in an inline script, which the content
    security policy allows only unchanged.

    Examples
    --------
    >>> rerooted('<a href="/units/">', root="/ref/")
    '<a href="/ref/units/">'
    >>> rerooted('<script>new URL("/",location)</script>', root="/ref/")
    '<script>new URL("/",location)</script>'
    """
    built = re.escape(built_root(page).rstrip("/"))
    return re.sub(rf'([^(])"{built}/(?!/)', rf'\1"{root}', page)
