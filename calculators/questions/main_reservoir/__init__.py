"""The question `main-reservoir`."""
