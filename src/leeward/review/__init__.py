"""Planned against delivered: what was kept, what was not, and what cannot be told."""
