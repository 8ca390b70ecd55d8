"""Solves several load requests at once, each on a process of its own; the answers stay the same."""
