"""The question `hand-brakes`."""
