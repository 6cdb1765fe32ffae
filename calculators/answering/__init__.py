"""The one answer to every question, what follows after it, links, and what is shown of it."""
