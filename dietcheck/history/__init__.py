"""The repository at an earlier version, and what makes two versions of a diet the same."""
