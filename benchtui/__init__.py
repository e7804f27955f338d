"""Check and set valve clearances with feeler blades, at the bench, from the keyboard."""

__version__ = "0.1.0"
