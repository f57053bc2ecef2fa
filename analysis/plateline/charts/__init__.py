"""Room `charts`."""
