"""The question `car-brake`."""
