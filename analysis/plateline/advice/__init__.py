"""Room `advice`."""
