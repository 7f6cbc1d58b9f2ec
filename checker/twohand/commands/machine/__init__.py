"""Commands from the spec to the machine: scenarios that are played, and violations kept as one."""
