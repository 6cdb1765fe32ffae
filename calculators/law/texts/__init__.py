"""The published texts, by kind: regulations, manuals and standards, reports, books and papers."""
