"""The question `locomotive-brake`."""
