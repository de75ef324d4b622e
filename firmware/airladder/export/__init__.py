"""What the log holds, in the forms that other programs read: tables, lines, MIDI, a copy of the log itself."""
