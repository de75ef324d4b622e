"""Music: pitch, cents, note names, horns, fingerings and the series of partials. Pure arithmetic."""
