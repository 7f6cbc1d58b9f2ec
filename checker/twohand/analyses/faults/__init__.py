"""What single faults, and pairs of them, do to each requirement."""
