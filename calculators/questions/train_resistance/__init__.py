"""The question `train-resistance`."""
