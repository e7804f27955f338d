"""Whole pages: card, blank form, handover page, sheet."""
