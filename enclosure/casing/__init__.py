"""The box in solids: what is printed, what it holds, and the files and pictures that are made of them."""
