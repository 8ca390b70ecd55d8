"""Colours of the pictures. None carries a meaning alone: words, edges and patterns do."""

INK = "#1f2a37"
PAPER = "#fbfaf6"
TIDE = "#0f6b7a"
AMBER = "#a86b00"
BRICK = "#9d2f22"
MOSS = "#476b2e"

#: Ink thinned on paper, for lines that guide the eye and say nothing.
FAINT = "#8a929c"
#: Tide thinned on paper; ink on it stays readable in black and white.
TIDE_PALE = "#cfe2e4"
#: Ink thinned on paper, for time asleep.
NIGHT = "#dfe1e4"
