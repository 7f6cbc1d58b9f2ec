"""What all commands share: the session, the console, options and how a run ends."""
