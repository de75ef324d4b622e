"""The exercises: what is wanted of one, as a wish, becomes the things that are asked for, one after another."""
