"""Questions on tests and their limits: which is due, how a reading compares, how it is made."""
