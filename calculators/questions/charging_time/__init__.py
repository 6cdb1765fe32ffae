"""The question `charging-time`."""
