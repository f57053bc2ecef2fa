"""Room `load`."""
