"""Scye: a declarative pattern-recipe compiler for dressmakers."""

__version__ = "0.1.0"
