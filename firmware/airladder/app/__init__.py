"""The program: wires the rooms together, and owns the threads. Nothing is decided here that a room could decide."""
