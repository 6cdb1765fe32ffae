"""The question `rear-pressure`."""
