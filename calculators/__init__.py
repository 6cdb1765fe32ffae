"""Calculations of the air brake field reference: pure Python, standard library only."""
