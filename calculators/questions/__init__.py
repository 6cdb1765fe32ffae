"""One module a question: each composes the equipment's physics and says the answer in words."""
