"""The rules of the trade: standard library only, no files, no clock, no random ids."""
