"""Sharing recipes: enclosing, looking inside, keeping, renewing."""
