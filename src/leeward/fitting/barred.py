"""What the planner must keep to: the table's barred postures as limits."""

from collections.abc import Iterable

from leeward.fitting.finding import Finding, Outcome
from leeward.fitting.posture_table import PostureRow
from leeward.terms.limits import Limit
from leeward.terms.posture_limits import PostureLimits


def posture_limits(
    rows: Iterable[PostureRow],
    everywhere: Iterable[Finding],
    used: Iterable[tuple[float, float]],
) -> PostureLimits:
    """Turn barred postures into limits, so that none of them is left inside.

    Parameters
    ----------
    rows : iterable of PostureRow
        The table.
    everywhere : iterable of Finding
        What holds in every posture.
    used : iterable of (float, float)
        Backrest and knee raise of the parts of the day in which turns are made. [rad]

    Returns
    -------
    PostureLimits
        Each limit is the largest setting below the first barred one, at any lift; none where
        nothing is barred. What cannot be told bars nothing here: it is asked for instead.
    """
    listed, backs = tuple(rows), set(used)
    always = [one for one in everywhere if one.outcome is Outcome.NOT_TO_BE_USED]
    level = [row for row in listed if row.setting.turn == 0.0]
    backrest = _limit([(row.setting.backrest, row) for row in level], [])
    for edge in backrest:
        backs |= {(min(raised, edge.value), knee) for raised, knee in backs}
    turning = [row for row in listed if (row.setting.backrest, row.setting.knee_raise) in backs]
    return PostureLimits(
        turn_left=_limit([(row.setting.turn, row) for row in turning], always),
        turn_right=_limit([(-row.setting.turn, row) for row in turning], always),
        backrest=backrest,
    )


def _limit(rows: list[tuple[float, PostureRow]], always: list[Finding]) -> tuple[Limit, ...]:
    if always:
        return (Limit(0.0, "rad", f"found at the bed: {always[0].sentence}"),)
    barred = [(size, row) for size, row in rows if size > 0.0 and _why(row) is not None]
    if not barred:
        return ()
    first, row = min(barred, key=lambda entry: entry[0])
    below = [size for size, _ in rows if 0.0 <= size < first]
    why = _why(row)
    assert why is not None
    return (Limit(max(below, default=0.0), "rad", f"found at the bed: {why.sentence}"),)


def _why(row: PostureRow) -> Finding | None:
    for finding in row.findings:
        if finding.outcome is Outcome.NOT_TO_BE_USED:
            return finding
    return None
