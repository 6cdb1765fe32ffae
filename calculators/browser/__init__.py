"""What the page's worker calls: JSON text in, JSON text out."""

from calculators.browser.replying import reply, stream

__all__ = ["reply", "stream"]
