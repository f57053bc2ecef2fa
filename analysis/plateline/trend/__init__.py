"""Room `trend`."""
