"""Devices: one vendor library a file, each behind a small interface, each with a stand-in that can misbehave.

Vendor libraries are imported late, inside the constructor that needs them, so that every other part runs where
they are missing.
"""
