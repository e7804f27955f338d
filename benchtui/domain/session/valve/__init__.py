"""One valve as it stands: what is known of it and what is to be done at it."""
