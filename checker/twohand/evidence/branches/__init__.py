"""The text itself, executed along every branch of a scan, held against its model."""
