"""The coach: from what was kept of other days to what is practised today, and why."""
