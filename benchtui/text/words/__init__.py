"""Sentences and figures that several places show."""
