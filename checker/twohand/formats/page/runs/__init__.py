"""A run as a picture with a true time axis, and as a table of values."""
