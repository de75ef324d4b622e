"""What a solid is like: whether it is whole, how thin its walls are, how near it comes to others, what it hides.

Nothing here knows the box. Each measure takes solids or triangles and figures, and gives figures, or a sentence with
a place for every fault. Millimetres, grams, degrees; the frame is that of the solids.
"""
