"""Room `strength`."""
