"""Practice at the keyboard: a hand and an engine that are not real."""
