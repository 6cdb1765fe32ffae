"""What every calculator stands on: quantities, units, fields, results, errors, cautions."""
