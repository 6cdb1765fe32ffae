"""What every calculator stands on: quantities, units, fields, results, limits, sources."""
