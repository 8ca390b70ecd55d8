"""What prescribed postures do that the plan cannot change: said as the practitioner's."""

import numpy as np

from leeward.programme.loads import protected_ceilings
from leeward.programme.problem import Problem
from leeward.programme.quantities import plain
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.clock import clock_text
from leeward.terms.posture import Place
from leeward.terms.verdict import Reason


def prescribed_reasons(given: Problem) -> tuple[Reason, ...]:
    """Report what is known against prescribed postures.

    Parameters
    ----------
    given : Problem
        The search.

    Returns
    -------
    tuple of Reason
        Postures not known to be stable, postures whose load is not modelled, and protected
        sites they load: the practitioner's own, neither offered nor changed.
    """
    reasons: list[Reason] = []
    for window in given.windows:
        if window.kind is not WindowKind.TURNING:
            reasons.extend(_of_window(given, window))
    return tuple(reasons)


def _of_window(given: Problem, window: DayWindow) -> list[Reason]:
    row = given.table.row(window.posture)
    by = window.prescribed_by or "nobody named"
    times = f"{clock_text(window.span.start)} to {clock_text(window.span.end)}"
    where = f"{window.name[:1].upper()}{window.name[1:]}, {times} (prescribed by {by})"
    if window.posture.place is not Place.BED:
        return [
            Reason(
                "out-of-bed",
                f"{where}: loads out of bed are not modelled; nothing can be told of the sites "
                "they reach.",
            )
        ]
    reasons = []
    if not given.table.known[row]:
        reasons.append(
            Reason(
                "prescribed-not-known",
                f"{where}: this posture is not known to be stable, or its load is not known.",
            )
        )
    for site, ceiling in protected_ceilings(given.case).items():
        load = float(given.table.ratio[:, row, given.table.sites.index(site)].max())
        if not load <= ceiling:
            known = (plain("load ratio, highest", load),) if np.isfinite(load) else ()
            reasons.append(
                Reason(
                    "prescribed-loads-protected",
                    f"{where}: it loads the {site.value}, which is to be kept unloaded.",
                    (*known, plain("ceiling", ceiling)),
                )
            )
    return reasons
