"""The wanted pitch made audible: samples from a frequency. Pure, with numpy."""
