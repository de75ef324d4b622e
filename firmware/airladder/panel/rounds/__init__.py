"""The pages round the practice, drawn: one file a few pages."""
