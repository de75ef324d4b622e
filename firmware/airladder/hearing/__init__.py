"""Hearing: from blocks of samples to what the player needs to know: Reading, Attack, Tone.

Import `block` and `events` freely, they are light; `ear` brings numpy and aubio.
"""
