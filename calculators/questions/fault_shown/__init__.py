"""The question `fault-shown`."""
