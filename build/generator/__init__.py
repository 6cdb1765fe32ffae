"""The generator: turns content/ and calculators/ into the offline site."""
