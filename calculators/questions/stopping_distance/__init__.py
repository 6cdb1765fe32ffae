"""The question `stopping-distance`."""
