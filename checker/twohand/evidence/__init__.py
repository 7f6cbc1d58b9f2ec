"""From an engine's answer to evidence that does not rest on the engine's word."""
