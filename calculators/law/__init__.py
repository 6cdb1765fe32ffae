"""The rules in force as data and what follows from them: limits, texts, judging, gauge error."""
