"""Pages: what is on the screen round the practice, as one pure state machine. Knows nothing of pixels or devices."""
