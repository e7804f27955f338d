"""A rehearsal: an engine and a hand that are not real, played through the real bench."""
