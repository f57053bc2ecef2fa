"""Room `study`."""
