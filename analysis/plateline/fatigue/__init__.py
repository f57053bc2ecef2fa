"""Room `fatigue`."""
