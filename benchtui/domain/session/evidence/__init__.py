"""What counts: readings, crank position, metal, and what may be touched."""
