"""Airladder: hears which partial of the fingered saxophone note sounded, how far off, and how it began."""

__version__ = "0.1.0"
