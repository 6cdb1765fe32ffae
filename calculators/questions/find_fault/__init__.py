"""The question `find-fault`."""
