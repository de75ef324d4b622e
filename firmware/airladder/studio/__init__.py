"""The logs of many players together, for a teacher or a study: Parquet, a page for each player, one for the group."""
