"""Answers, and the pocket card, as text, JSON and HTML."""
