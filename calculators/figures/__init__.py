"""Figures that no regulation gives: from memory, from practice, from a text; one record each."""
