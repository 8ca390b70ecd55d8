"""How far and how often the Newton iteration steps: one set of rules for every form of it."""

from typing import Final

#: Largest step: one of a joint's displacement, one of a segment's rotation. [m], [rad]
LONGEST_STEP: Final = 0.060
LARGEST_TURN: Final = 0.30

#: In balance: nothing larger than this share of body weight is left (moments at 1 m).
TOLERANCE: Final = 1e-8
MOST_STEPS: Final = 40
GIVE_UP: Final = 1e5
#: Steps not kept, on the way from a neighbouring posture, after which a nearer start is better: of
#: 3168 steps of hard bodies that reached a balance 6 had more. Source: convention of this project.
MOST_REFUSED: Final = 5

#: A hair of scale keeps a body with a missing limb, or none in contact, solvable. [-]
HAIR: Final = 1e-10

#: Damping after a step that was kept, over that before; below the second it is left out. [-]
LIGHTER: Final = 0.15
UNDAMPED: Final = 1e-4
#: Damping after a step that was not kept, over that before, and the least of it. [-]
HEAVIER: Final = 6.0
LEAST: Final = 1e-3
