"""The question `release`."""
