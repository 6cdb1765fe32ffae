"""Short links: a question's whole link in some ninety characters, so that a small code holds it."""
