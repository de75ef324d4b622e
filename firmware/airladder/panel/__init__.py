"""Panel: the session's state drawn as a 128 x 64 picture; button edges turned into presses. Pure, with Pillow."""
