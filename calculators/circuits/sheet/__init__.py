"""The sheets: the parts of each locomotive as they are laid out."""
