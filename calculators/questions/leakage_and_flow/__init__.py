"""The question `leakage-and-flow`."""
