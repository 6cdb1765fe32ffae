"""The question `cylinder-leak-off`."""
