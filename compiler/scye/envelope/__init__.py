"""Envelopes: names that are harmless, one shape of archive, pictures that only show."""
