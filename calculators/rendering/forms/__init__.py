"""Forms as HTML."""
