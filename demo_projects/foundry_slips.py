"""What did not go to plan in the art foundry, each slip once: the book shows how it was mended.

Coats are named by the shell's label and the coat's number; readings by day and hour.
"""

from __future__ import annotations

from datetime import timedelta

from demo_projects.story import Reading, wall

# The prime room's heater had tripped in the night: what the first reading of the day showed, and
# two further looks until it was warm again. A prime coat dried through it.
SWING = {(8, 8): 19.6}
SWING_NOTE = "Heater had tripped, switched on again."
FURTHER_LOOKS = (Reading(wall(8, 8, 50), 19.9, 0.60), Reading(wall(8, 11, 15), 21.9, 0.57))

# Typed 85 for 58, put right twelve minutes later.
MISREAD = {(3, 18): 0.85}
MISREAD_REASON = "digits swapped"

HELD = {
    "PB-03": (wall(8, 15), "Hairline crack in the shawl, the sculptor comes to look."),
}
SCRAPPED = {
    "WB-06": (wall(7, 15, 30), "Fell from the hook, the bill broke off."),
}

# Dipped this long after the coat before, with this reason.
EARLY = {
    ("DF-08", 5): (timedelta(hours=1, minutes=50), "The door order is late, risk taken."),
}

# Dipped when planned, entered only at this time from the paper slip on the rack.
ENTERED_LATE = {
    ("PB-02", 6): (wall(6, 8, 2), "Entered the next morning from the slip on the rack."),
}

# Entered with the wrong hour, so many minutes too early, and put right.
WRONG_TIME = {
    ("DF-05", 3): (60, "typed the hour before"),
}
# Entered with the wrong tank, and put right.
WRONG_TANK = {
    ("WB-02", 4): ("B2", "tank B1, not B2"),
}
# Entered on this shell as well, and taken back.
WRONG_SHELL = {
    ("BL-05", 7): ("WB-07", "wrong shell, the neighbour's label was scanned"),
}
# Weighed again: the wax [kg] with cup and runners.
REWEIGHED = {
    "WB-01": (wall(2, 11, 15), 9.8, "weighed again with cup and runners"),
}
