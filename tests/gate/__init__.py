"""The gate: project files, waivers, reviews."""
