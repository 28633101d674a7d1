"""The nouns: one module for each stage, frozen, without behaviour."""
