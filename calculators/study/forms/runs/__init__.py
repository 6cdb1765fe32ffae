"""Questions that a short train is run for."""
