"""The question `train-run`."""
