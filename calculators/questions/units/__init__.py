"""The question `units`."""
