"""The log that stays: SQLite, written by a thread of its own."""
