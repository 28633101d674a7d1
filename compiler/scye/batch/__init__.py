"""Batches: a table of people through one recipe, broken off and gone on with as need be."""
