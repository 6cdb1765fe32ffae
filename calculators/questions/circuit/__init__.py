"""The question `circuit`."""
