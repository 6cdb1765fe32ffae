"""A circuit as it stands in a page: picture, gauges, handles, moments."""
