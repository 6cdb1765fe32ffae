"""A small package with the same entry as ours, for trials of the worker."""
