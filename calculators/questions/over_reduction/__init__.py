"""The question `over-reduction`."""
