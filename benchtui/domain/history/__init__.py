"""What many sessions say together: wear, and when the next check is due."""
