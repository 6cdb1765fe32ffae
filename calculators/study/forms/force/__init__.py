"""Questions on force: sums, and what weighs and holds."""
