"""A loopback web server for the built site, for reading it at a desk and for the tests.

It does what a good static host does (content types, compression, validators, byte ranges, the
site's own page for an unknown address) and sends the content security policy with every answer.
The tests build their faulty server on it.
"""

import gzip
import hashlib
import re
import socket
import threading
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import unquote, urlsplit

from generator.content_types import content_type, is_compressed_by_hosts
from generator.not_found import built_root, rerooted
from generator.policy import content_security_policy, in_header

LOOPBACK = "127.0.0.1"
# A page elsewhere can bring a browser to call this server by a name of its own; only these are ours.
OUR_NAMES = frozenset({LOOPBACK, "localhost"})
_CHUNK = 16 * 1024
_RANGE = re.compile(r"bytes=(\d+)-(\d*)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """An answer ready to send."""

    status: HTTPStatus
    headers: dict[str, str]
    body: bytes = b""


@dataclass(slots=True, kw_only=True)
class Served:
    """One line of the server's log."""

    method: str
    path: str
    """The path inside the site, without the prefix and the query; "" is the site's root."""
    status: int
    sent: int = 0
    """Bytes of the body that went out, as compressed on the way."""
    complete: bool = False
    headers: dict[str, str] = field(default_factory=dict)
    """The request's headers, their names in lower case."""


_MISDIRECTED = Reply(
    status=HTTPStatus.MISDIRECTED_REQUEST,
    headers={"Content-Type": "text/plain; charset=utf-8", "X-Content-Type-Options": "nosniff"},
    body=b"This server answers to its own address only.\n",
)


class SiteServer:
    """Serves one built site on loopback, in threads of its own, until it is closed.

    Parameters
    ----------
    site
        The folder of the built site.
    prefix
        The path the site stands under, with a slash at both ends: `/` or `/ref/`.
    port
        The port; 0 lets the system choose a free one.
    compress
        Whether text goes out compressed to clients that accept it, as most hosts do.

    Notes
    -----
    `close` ends every open connection too, so that a stopped server is stopped for good;
    `open` starts it again on the same port.
    """

    def __init__(
        self, site: Path, *, prefix: str = "/", port: int = 0, compress: bool = True
    ) -> None:
        if not (prefix.startswith("/") and prefix.endswith("/")):
            raise ValueError(f"prefix is {prefix!r}; it must start and end with a slash")
        self.site = site
        self.prefix = prefix
        self.port = port
        self.compress = compress
        self.policy = in_header(content_security_policy(site))
        self.log: list[Served] = []
        self._server: _Server | None = None
        self._compressed: dict[str, bytes] = {}

    @property
    def url(self) -> str:
        """The address of the site's root."""
        return f"http://{LOOPBACK}:{self.port}{self.prefix}"

    def open(self) -> "SiteServer":
        """Start to answer."""
        if self._server is None:
            self._server = _Server((LOOPBACK, self.port), self)
            self.port = self._server.server_address[1]
            threading.Thread(
                target=self._server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True
            ).start()
        return self

    def close(self) -> None:
        """Stop to answer: no new connection is taken and every open one is cut."""
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()
            self._server.cut_connections()
            self._server = None

    def __enter__(self) -> "SiteServer":
        """Start to answer."""
        return self.open()

    def __exit__(self, *_: object) -> None:
        """Stop to answer."""
        self.close()

    def is_asked_by_name(self, host: str) -> bool:
        """Whether a request's Host header means this server and no other."""
        name, _, port = host.partition(":")
        return name.lower() in OUR_NAMES and (port or "80") == str(self.port)

    def reply(self, path: str | None, headers: dict[str, str]) -> Reply:
        """Answer one request.

        Parameters
        ----------
        path
            The path inside the site, None for an address outside the prefix.
        headers
            The request's headers, their names in lower case.
        """
        file = None if path is None else self._file(path)
        if file is None:
            return self._not_found()
        if path == "sitemap.xml":
            return self._sitemap(file)
        if file.is_dir():
            return Reply(
                status=HTTPStatus.MOVED_PERMANENTLY,
                headers=self._headers(type="text/plain; charset=utf-8")
                | {"Location": f"{self.prefix}{path}/"},
            )
        return self._content(file, headers)

    def body(self, served: Served, reply: Reply) -> Iterator[bytes]:
        """Yield the pieces of an answer's body as they go out; a faulty server changes them."""
        for start in range(0, len(reply.body), _CHUNK):
            yield reply.body[start : start + _CHUNK]

    def inside(self, target: str) -> str | None:
        """Turn a request's target into the path inside the site, None if it lies outside."""
        path = unquote(urlsplit(target).path)
        if not path.startswith(self.prefix):
            return None
        return path[len(self.prefix) :]

    def read(self, file: Path) -> bytes:
        """Read the file to be sent; a faulty server changes the bytes."""
        return file.read_bytes()

    def _file(self, path: str) -> Path | None:
        """Find the file or folder at a path of the site, None where there is none."""
        if ".." in PurePosixPath(path).parts or "\0" in path:
            return None
        file = self.site / path
        if path == "" or path.endswith("/"):
            file = file / "index.html"
        # An address may hold an absolute path, or lead over a link to somewhere else.
        if not file.resolve().is_relative_to(self.site.resolve()):
            return None
        if file.is_file() or (file.is_dir() and (file / "index.html").is_file()):
            return file
        return None

    def _headers(self, *, type: str) -> dict[str, str]:
        return {
            "Content-Type": type,
            "Content-Security-Policy": self.policy,
            "X-Content-Type-Options": "nosniff",
            "Cache-Control": "no-cache",
        }

    def _not_found(self) -> Reply:
        headers = self._headers(type="text/html; charset=utf-8")
        page = self.site / "404.html"
        body = b"<!doctype html><title>Not found</title><p>Not found."
        if page.is_file():
            body = rerooted(page.read_text(encoding="utf-8"), root=self.prefix).encode()
        return Reply(status=HTTPStatus.NOT_FOUND, headers=headers, body=body)

    def _sitemap(self, file: Path) -> Reply:
        """Name the pages under this server's address; the theme swaps only such pages in place."""
        not_found = self.site / "404.html"
        root = built_root(not_found.read_text(encoding="utf-8")) if not_found.is_file() else "/"
        text = file.read_text(encoding="utf-8")
        here = re.sub(rf"<loc>https?://[^/<]*{re.escape(root)}", f"<loc>{self.url}", text)
        headers = self._headers(type=content_type(file.name))
        return Reply(status=HTTPStatus.OK, headers=headers, body=here.encode())

    def _content(self, file: Path, asked: dict[str, str]) -> Reply:
        body = self.read(file)
        tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
        headers = self._headers(type=content_type(file.name)) | {"ETag": tag}
        if tag in asked.get("if-none-match", ""):
            return Reply(status=HTTPStatus.NOT_MODIFIED, headers=headers)
        if self.compress and is_compressed_by_hosts(file.name):
            headers["Vary"] = "Accept-Encoding"
            if "gzip" in asked.get("accept-encoding", ""):
                headers["Content-Encoding"] = "gzip"
                return Reply(status=HTTPStatus.OK, headers=headers, body=self._gzip(tag, body))
        headers["Accept-Ranges"] = "bytes"
        part = _RANGE.match(asked.get("range", ""))
        if part and asked.get("if-range", tag) == tag:
            first = int(part[1])
            last = min(int(part[2] or len(body)), len(body) - 1)
            if first > last:
                headers["Content-Range"] = f"bytes */{len(body)}"
                return Reply(status=HTTPStatus.REQUESTED_RANGE_NOT_SATISFIABLE, headers=headers)
            headers["Content-Range"] = f"bytes {first}-{last}/{len(body)}"
            body = body[first : last + 1]
            return Reply(status=HTTPStatus.PARTIAL_CONTENT, headers=headers, body=body)
        return Reply(status=HTTPStatus.OK, headers=headers, body=body)

    def _gzip(self, tag: str, body: bytes) -> bytes:
        if tag not in self._compressed:
            self._compressed[tag] = gzip.compress(body, compresslevel=9, mtime=0)
        return self._compressed[tag]


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    allow_reuse_address = True

    def __init__(self, address: tuple[str, int], owner: SiteServer) -> None:
        self.owner = owner
        self._connections: set[socket.socket] = set()
        self._lock = threading.Lock()
        super().__init__(address, _Handler)

    def process_request(self, request: Any, client_address: Any) -> None:
        with self._lock:
            self._connections.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: Any) -> None:
        with self._lock:
            self._connections.discard(request)
        super().shutdown_request(request)

    def cut_connections(self) -> None:
        with self._lock:
            connections = list(self._connections)
        for connection in connections:
            with suppress(OSError):
                connection.shutdown(socket.SHUT_RDWR)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Say nothing of a connection that broke: browsers and tests break them all the time."""
        with suppress(ConnectionError, TimeoutError):
            raise


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: _Server

    def do_GET(self) -> None:
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        self._answer(with_body=False)

    def _answer(self, *, with_body: bool) -> None:
        owner = self.server.owner
        asked = {name.lower(): value for name, value in self.headers.items()}
        path = owner.inside(self.path)
        if owner.is_asked_by_name(asked.get("host", "")):
            reply = owner.reply(path, asked)
        else:
            reply = _MISDIRECTED
        served = Served(
            method=self.command,
            path=self.path if path is None else path,
            status=int(reply.status),
            headers=asked,
        )
        owner.log.append(served)
        self.send_response(reply.status)
        for name, value in reply.headers.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(reply.body)))
        self.end_headers()
        if with_body:
            for piece in owner.body(served, reply):
                self.wfile.write(piece)
                served.sent += len(piece)
            # A body that ends early is a cut line: only closing the connection tells the client.
            self.close_connection = self.close_connection or served.sent < len(reply.body)
        served.complete = not with_body or served.sent == len(reply.body)

    def log_message(self, format: str, *args: Any) -> None:
        """Print nothing: the log is kept in `SiteServer.log`."""


class PortTakenError(OSError):
    """The port cannot be listened on; the message says what to do."""


def refuse_taken_port(port: int) -> None:
    """Find out before anything is built whether the server will be able to listen.

    Raises
    ------
    PortTakenError
        If another program listens there, or this user may not.
    """
    try:
        with socket.create_server((LOOPBACK, port)):
            return
    except OSError as error:
        raise PortTakenError(
            f"Port {port} cannot be used ({error.strerror}): end what listens there, or name "
            "another one, for example `python3 build serve --port 8123`."
        ) from error


def serve(site: Path, port: int, prefix: str = "/") -> None:
    """Serve the built site on loopback until the keyboard stops it.

    Parameters
    ----------
    site
        The folder of the built site.
    port
        The port to listen on; 0 lets the system choose.
    prefix
        The path the site stands under, with a slash at both ends.
    """
    refuse_taken_port(port)
    with SiteServer(site, prefix=prefix, port=port) as server:
        print(f"The site is at {server.url} (only from this machine). Ctrl+C stops it.", flush=True)
        with suppress(KeyboardInterrupt):
            threading.Event().wait()
