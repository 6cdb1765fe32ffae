"""The development server with a bad day: cut lines, slow ones, wrong bytes, refusals."""

import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path

from generator.serving import Reply, Served, SiteServer

KINDS = (
    "reset",
    "cut",
    "cut-in-silence",
    "stall",
    "drip",
    "404",
    "500",
    "flipped",
    "wrong",
    "portal-200",
    "portal-302",
)
"""What a bad line or host does to a file; a fault of a kind does nothing else."""

_SIGN_IN = b"<!doctype html><title>Sign in</title><p>Sign in to use this network."
# An error that a browser may keep: a host that says so is the worse one.
_KEPT_ERROR = {"Content-Type": "text/html", "Cache-Control": "max-age=600"}
_DRIP_S = 0.5


@dataclass(slots=True, kw_only=True)
class Fault:
    """What is wrong with one file."""

    cut_after: int | None = None
    """The body ends after so many bytes and the connection with it."""
    bytes_per_second: float | None = None
    corrupt: bool = False
    """One byte of the content is another."""
    refuse: bool = False
    kind: str = ""
    """One of `KINDS`, or empty."""
    times: int | None = None
    """How often the fault shows before the file is well again; None: always."""


class FaultyServer(SiteServer):
    """Serves a site and does to named files what bad lines and hosts do."""

    def __init__(
        self, site: Path, *, prefix: str = "/", port: int = 0, compress: bool = True
    ) -> None:
        super().__init__(site, prefix=prefix, port=port, compress=compress)
        self.faults: dict[str, Fault] = {}
        self.knows_ranges = True
        self._closing = threading.Event()
        # By thread: what the body of the answer under way is to suffer.
        self._slow: dict[int, str] = {}

    def spoil(self, path: str, fault: Fault) -> None:
        """Give a file a fault; `*` stands for every file, a page is named by its address."""
        self.faults[path] = fault

    def mend(self) -> None:
        """Take all faults away."""
        self.faults.clear()

    def asked_for(self, path: str) -> list[Served]:
        """All requests for one path, in order."""
        return [served for served in self.log if served.path == path]

    def close(self) -> None:
        """Stop to answer; whoever hangs on this server is let go."""
        self._closing.set()
        super().close()

    def reply(self, path: str | None, headers: dict[str, str]) -> Reply:
        fault = self._fault(path)
        if fault and fault.kind:
            self._count(fault)
            if fault.kind in {"stall", "drip"}:
                self._slow[threading.get_ident()] = fault.kind
            return self._spoiled(fault.kind, super().reply(path, headers))
        if fault and fault.refuse:
            self._count(fault)
            return Reply(status=HTTPStatus.SERVICE_UNAVAILABLE, headers={})
        if not self.knows_ranges:
            headers = {name: value for name, value in headers.items() if name != "range"}
        return super().reply(path, headers)

    def _spoiled(self, kind: str, well: Reply) -> Reply:
        """What comes in place of a good answer."""
        if kind == "reset":
            raise ConnectionResetError("a line that breaks")
        if kind in {"404", "500"}:
            return Reply(status=HTTPStatus(int(kind)), headers=dict(_KEPT_ERROR), body=b"error")
        if kind == "portal-200":
            return Reply(status=HTTPStatus.OK, headers={"Content-Type": "text/html"}, body=_SIGN_IN)
        if kind == "portal-302":
            headers = {"Location": f"{self.url}sign-in.html?from=here"}
            return Reply(status=HTTPStatus.FOUND, headers=headers)
        if kind == "stall" and not well.body:
            self._closing.wait(300)
        half = len(well.body) // 2
        body = {
            "cut-in-silence": well.body[:half],
            "flipped": bytes(byte ^ (at == half) for at, byte in enumerate(well.body)),
            "wrong": b"x" * len(well.body),
        }.get(kind, well.body)
        # A line cut without a word is told by the length only.
        if kind == "cut":
            self._slow[threading.get_ident()] = kind
        return Reply(status=well.status, headers=well.headers, body=body)

    def read(self, file: Path) -> bytes:
        content = super().read(file)
        fault = self._fault(file.relative_to(self.site).as_posix())
        if fault and fault.corrupt and content:
            self._count(fault)
            middle = len(content) // 2
            return content[:middle] + bytes([content[middle] ^ 1]) + content[middle + 1 :]
        return content

    def body(self, served: Served, reply: Reply) -> Iterator[bytes]:
        slow = self._slow.pop(threading.get_ident(), "")
        if slow:
            yield from self._dragging(slow, reply.body)
            return
        fault = self._fault(served.path)
        if (
            fault is None
            or fault.kind
            or reply.status not in {HTTPStatus.OK, HTTPStatus.PARTIAL_CONTENT}
        ):
            yield from super().body(served, reply)
            return
        if fault.cut_after is not None:
            self._count(fault)
        left = len(reply.body) if fault.cut_after is None else fault.cut_after
        for piece in super().body(served, reply):
            if fault.bytes_per_second:
                time.sleep(len(piece) / fault.bytes_per_second)
            yield piece[:left]
            left -= len(piece)
            if left <= 0:
                return

    def _dragging(self, kind: str, body: bytes) -> Iterator[bytes]:
        half = body[: len(body) // 2]
        yield half
        if kind == "cut":
            return
        rest = body[len(half) :]
        # The line is mended for others; who hangs on this connection has to leave it.
        while kind == "drip" and rest and not self._closing.wait(_DRIP_S):
            yield rest[:1]
            rest = rest[1:]
        if kind == "stall":
            self._closing.wait(300)

    def _fault(self, path: str | None) -> Fault | None:
        if path is None:
            return None
        return self.faults.get(path.removesuffix("index.html")) or self.faults.get("*")

    def _count(self, fault: Fault) -> None:
        if fault.times is not None:
            fault.times -= 1
            if fault.times == 0:
                self.faults = {path: one for path, one in self.faults.items() if one is not fault}
