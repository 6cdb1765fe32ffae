"""Answers as text, JSON, HTML and pictures; everything escapes by construction."""
