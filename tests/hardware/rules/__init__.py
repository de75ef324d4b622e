"""The electrical rules: each takes the circuit as it is built and gives a sentence for every breach.

A rule asks for nothing but a `Built` (`rules.built`), so that the same rule judges the netlist that KiCad exports,
the description with an option left out, and the description with a fault put in on purpose.
"""
