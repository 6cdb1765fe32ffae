"""The pocket card."""
