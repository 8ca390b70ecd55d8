"""The stays of a plan, read from its file as JSON and as nothing else.

A log made from a plan can only test the reading of logs when the two share no code.
"""

import json
from collections.abc import Mapping
from typing import Any

from examples.simulated.surface import Stay

DAY = 86400.0


def stays_of_plan(text: str, days: int, choice: str | None = None) -> tuple[float, list[Stay]]:
    """Read what a plan would have the unit do.

    Parameters
    ----------
    text : str
        A plan file.
    days : int
        Number of days. [-]
    choice : str or None
        Name of one of its choices; by default the first.

    Returns
    -------
    start : float
        When the first window starts, after midnight. [s]
    stays : list of Stay
        The stays of all the days, one after another.

    Raises
    ------
    ValueError
        If the plan holds no such choice.
    """
    plan = json.loads(text)
    choices = plan.get("decision", plan)["choices"]
    named = [one for one in choices if choice is None or one["name"] == choice]
    if not named:
        names = ", ".join(one["name"] for one in choices) or "none"
        raise ValueError(f"no choice {choice!r} in the plan; it holds: {names}")
    windows = named[0]["programme"]["windows"]
    return float(windows[0]["span"]["start"]), [
        stay for _ in range(days) for window in windows for stay in _stays_of(window)
    ]


def _stays_of(window: Mapping[str, Any]) -> list[Stay]:
    """The window's cycle, begun afresh, repeated and cut at its end."""
    left = (window["span"]["end"] - window["span"]["start"]) % DAY or DAY
    stays: list[Stay] = []
    while left > 1e-6:
        kept = window["cycle"][len(stays) % len(window["cycle"])]
        length = min(float(kept["duration"]), left)
        posture = kept["posture"]
        stays.append(Stay(float(posture["turn"]), length, float(posture["backrest"])))
        left -= length
    return stays
