"""The typed program and what is done with it whole: walks, renaming, two programs as one."""
