"""The screens; no arithmetic and no store in here."""
