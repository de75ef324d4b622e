"""Routines as files that players and teachers write: read, checked whole, and turned into exercises."""
