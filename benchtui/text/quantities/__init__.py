"""Quantities in and out: read strictly, printed plainly."""
