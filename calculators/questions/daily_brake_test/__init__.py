"""The question `daily-brake-test`."""
