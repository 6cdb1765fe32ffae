"""The version of the reference and the moment it was released: the one place that says them."""

from __future__ import annotations

VERSION = "0.2.0"
RELEASED = "2026-11-29T00:00:00+00:00"
