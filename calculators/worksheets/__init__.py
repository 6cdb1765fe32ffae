"""Worksheets with their keys: questions of the drills on paper, as a table and for other programs."""
