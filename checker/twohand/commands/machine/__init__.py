"""Commands from the spec to the machine: scenarios that are played, violations kept as one, and
which platform it is."""
