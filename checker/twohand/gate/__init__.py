"""What a repository asks on every change: its project file, its waivers, and a review of both."""
