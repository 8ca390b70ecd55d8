"""Logs of a tilting surface that nobody lay on: invented from a plan, a seed and faults."""
