"""The version of the reference and the moment it was released."""

from __future__ import annotations

VERSION = "0.1.0"
RELEASED = "2026-11-25T00:00:00+00:00"
