"""Room `demo`."""
