"""The question `repeated-applications`."""
