"""The development server with a bad day: cut lines, slow ones, wrong bytes, refusals."""

import time
from collections.abc import Iterator
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path

from generator.serving import Reply, Served, SiteServer


@dataclass(slots=True, kw_only=True)
class Fault:
    """What is wrong with one file."""

    cut_after: int | None = None
    """The body ends after so many bytes and the connection with it."""
    bytes_per_second: float | None = None
    corrupt: bool = False
    """One byte of the content is another."""
    refuse: bool = False
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

    def spoil(self, path: str, fault: Fault) -> None:
        """Give a file a fault; `*` stands for every file, a page is named by its address."""
        self.faults[path] = fault

    def mend(self) -> None:
        """Take all faults away."""
        self.faults.clear()

    def asked_for(self, path: str) -> list[Served]:
        """All requests for one path, in order."""
        return [served for served in self.log if served.path == path]

    def reply(self, path: str | None, headers: dict[str, str]) -> Reply:
        fault = self._fault(path)
        if fault and fault.refuse:
            self._count(fault)
            return Reply(status=HTTPStatus.SERVICE_UNAVAILABLE, headers={})
        if not self.knows_ranges:
            headers = {name: value for name, value in headers.items() if name != "range"}
        return super().reply(path, headers)

    def read(self, file: Path) -> bytes:
        content = super().read(file)
        fault = self._fault(file.relative_to(self.site).as_posix())
        if fault and fault.corrupt and content:
            self._count(fault)
            middle = len(content) // 2
            return content[:middle] + bytes([content[middle] ^ 1]) + content[middle + 1 :]
        return content

    def body(self, served: Served, reply: Reply) -> Iterator[bytes]:
        fault = self._fault(served.path)
        if fault is None or reply.status not in {HTTPStatus.OK, HTTPStatus.PARTIAL_CONTENT}:
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

    def _fault(self, path: str | None) -> Fault | None:
        if path is None:
            return None
        return self.faults.get(path.removesuffix("index.html")) or self.faults.get("*")

    def _count(self, fault: Fault) -> None:
        if fault.times is not None:
            fault.times -= 1
            if fault.times == 0:
                self.faults = {path: one for path, one in self.faults.items() if one is not fault}
