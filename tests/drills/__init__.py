"""A run is killed, stopped or out of room at any moment: files are whole, nothing is left."""
