"""How quantities are read from people and shown to them."""
