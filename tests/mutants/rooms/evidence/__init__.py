"""What is believed, replayed and told."""
