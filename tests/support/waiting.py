"""Waiting for something that another thread or process does."""

import time
from collections.abc import Callable


def wait_for(happened: Callable[[], object], *, seconds: float = 15.0) -> bool:
    """Whether it happened before the time was up."""
    deadline = time.monotonic() + seconds
    while not happened():
        if time.monotonic() > deadline:
            return False
        time.sleep(0.02)
    return True
