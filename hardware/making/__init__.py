"""Makes the drawings, lists and board of the circuit from its description; see hardware/README.md."""
