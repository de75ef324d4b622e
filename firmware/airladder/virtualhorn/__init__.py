"""The virtual horn: an invented player on an invented horn, for demonstrations and tests. No measured saxophone."""
