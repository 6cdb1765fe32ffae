"""The question `brake-force`."""
