"""What came out of a check in the formats that other tools read."""
