"""The steps of a session: which may be taken, and what each does to the state."""
