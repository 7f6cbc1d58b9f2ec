"""From an engine's answer to evidence: replay, certificate, verdict."""
