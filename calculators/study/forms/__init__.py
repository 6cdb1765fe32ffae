"""The forms of questions, one module a subject: data that the drawing reads."""
