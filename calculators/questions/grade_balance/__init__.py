"""The question `grade-balance`."""
