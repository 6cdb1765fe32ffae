"""The question `exhaust-time`."""
