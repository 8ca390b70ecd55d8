"""Placing, securing and proving the equipment at this bed, under this person."""
