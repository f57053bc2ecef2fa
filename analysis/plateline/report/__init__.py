"""Room `report`."""
