"""The question `full-service-figures`."""
