"""Practice: exercises, judging and the session, as pure functions of what was heard and pressed."""
