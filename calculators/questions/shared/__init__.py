"""What several questions use: inputs worded once, the train model asked, force, spacing."""
