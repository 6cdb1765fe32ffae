"""The question `brake-test`."""
