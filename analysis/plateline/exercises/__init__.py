"""Room `exercises`."""
