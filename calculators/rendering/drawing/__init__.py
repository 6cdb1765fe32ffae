"""Curves and pictures of grids as SVG with their tables."""
