"""Room `log`."""
