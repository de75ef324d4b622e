"""The bring-up jig: `airladder selftest` goes with a maker through a box that has just been soldered.

A check is a function over devices that were given to it; what can be worked out from samples, stamps or edges alone
is in files of its own (`bounce`, `sound`, `pace`), without any device. `command` wires them. Nothing kept is changed.
Untested on hardware.
"""
