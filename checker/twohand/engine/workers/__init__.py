"""Worker processes under limits that their parent enforces."""
