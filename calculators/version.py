"""The version of the reference, printed in answers, links to reports and pages."""

from __future__ import annotations

VERSION = "0.1.0"
