"""What the runtime's event loop takes of asyncio; replaces the front of the package in the page.

No answer waits for anything inside Python, but the runtime makes an event loop whenever it starts.
The whole package would load sockets, processes, streams and loops that a browser does not have.
"""

from typing import Any

from . import events, tasks
from .coroutines import iscoroutine, iscoroutinefunction
from .events import AbstractEventLoop, Handle, TimerHandle, get_event_loop, get_running_loop
from .events import _BaseDefaultEventLoopPolicy as DefaultEventLoopPolicy
from .events import _get_running_loop, _set_running_loop
from .events import _set_event_loop_policy as set_event_loop_policy
from .exceptions import CancelledError, InvalidStateError, TimeoutError
from .futures import Future
from .tasks import Task, ensure_future, gather, sleep


def run(main: Any, *, debug: bool | None = None, loop_factory: Any = None) -> Any:
    """Refuse: a page cannot wait for a loop of its own."""
    raise RuntimeError("there is no event loop to run in the page")
