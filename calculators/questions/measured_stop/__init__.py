"""The question `measured-stop`."""
