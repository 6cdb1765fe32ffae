"""What a device keeps for its user: the railroad's settings, and their record as a text."""
