"""Rules of the box. Each looks at solids and at parts.toml, and gives a sentence for every fault that it finds."""
