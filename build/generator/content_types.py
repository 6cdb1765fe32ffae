"""The content type of every kind of file that the site may hold.

One table for the development server and for the service worker: the worker sets the type itself,
so that the offline copy is right even where a host sends a wrong one.
"""

from pathlib import PurePosixPath

CONTENT_TYPES = {
    ".bin": "application/octet-stream",
    ".css": "text/css; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".gif": "image/gif",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/x-icon",
    ".jpg": "image/jpeg",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".map": "application/json; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".svg": "image/svg+xml; charset=utf-8",
    ".toml": "text/plain; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json; charset=utf-8",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
    ".xml": "application/xml; charset=utf-8",
    ".zip": "application/zip",
}

_COMPRESSED_BY_HOSTS = {
    ".css",
    ".csv",
    ".html",
    ".js",
    ".json",
    ".map",
    ".mjs",
    ".svg",
    ".toml",
    ".txt",
    ".webmanifest",
    ".xml",
}


class UnknownContentTypeError(ValueError):
    """A file of a kind that the table does not know; the message names it."""


def content_type(path: str) -> str:
    """Give the Content-Type of a site path, from its ending.

    Raises
    ------
    UnknownContentTypeError
        If the ending is not in the table. It is added there on purpose, never guessed: a browser
        refuses a script of the wrong type.
    """
    ending = PurePosixPath(path).suffix.lower()
    try:
        return CONTENT_TYPES[ending]
    except KeyError:
        raise UnknownContentTypeError(
            f"{path}: no content type is known for the ending {ending!r}; "
            "add it to CONTENT_TYPES in build/generator/content_types.py"
        ) from None


def is_compressed_by_hosts(path: str) -> bool:
    """Whether a usual host compresses this file on the way (text, not archives or images)."""
    return PurePosixPath(path).suffix.lower() in _COMPRESSED_BY_HOSTS
