"""Between what ends peaks lie: foam at both ends of its hardness and of its pull sideways."""

from collections.abc import Sequence
from dataclasses import replace

from leeward.contact.coupled_foam import LATERAL_STIFFNESS
from leeward.contact.coupled_pressure import coupled_map, coupled_pressure, lie_down
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.contact.pressure_map import Peak, PressureMap, SitePressure
from leeward.contact.scenarios import foam_range
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture


def banded_pressure(
    request: LoadRequest, table: LoadTable, scenario: int, posture: Posture
) -> PressureMap:
    """Compute a pressure map whose peaks say between what ends they lie.

    Parameters
    ----------
    request : LoadRequest
        What the table was made from. [-]
    table : LoadTable
        Its loads. [-]
    scenario : int
        Position of the scenario. [-]
    posture : Posture
        One of the table's postures. [-]

    Returns
    -------
    PressureMap
        As `coupled_pressure` gives it; every peak with the lowest and highest value it takes
        when the foam's hardness and its lateral stiffness stand at their ends. Without ends
        where body and foam find no stable balance at one of the four.

    Raises
    ------
    InvalidInput
        For a posture that is not in the table.

    Notes
    -----
    Everything else stays as in the scenario: friction, line, arms, pillow, tissue and the
    body's breadths widen patch loads, not these ends. Friction on the skin has none.
    """
    found = coupled_pressure(request, table, scenario, posture)
    if found.state is not EquilibriumState.STABLE:
        return found
    return _with_ends(found, _on_other_foams(request, scenario, posture))


def _on_other_foams(
    request: LoadRequest, scenario: int, posture: Posture
) -> tuple[PressureMap, ...]:
    """Maps at both ends of hardness and lateral stiffness; none if one is no place to lie."""
    hardness, lateral = foam_range(request.bed), LATERAL_STIFFNESS
    sideways = [end for end in (lateral.low, lateral.high) if end is not None]
    maps: list[PressureMap] = []
    for scale in (hardness.low, hardness.high):
        changed = replace(request.scenarios[scenario], foam_scale=scale)
        room, stand = lie_down(replace(request, scenarios=(changed,)), 0, posture)
        if stand.state[0] != EquilibriumState.STABLE:
            return ()
        maps.extend(coupled_map(room, posture, stand, stiffness) for stiffness in sideways)
    is_stable = all(one.state is EquilibriumState.STABLE for one in maps)
    return tuple(maps) if is_stable else ()


def _with_ends(found: PressureMap, others: tuple[PressureMap, ...]) -> PressureMap:
    """Set the ends of every peak of a map."""
    if not others:
        return found
    sites = tuple(
        _ends_of_site(site, [other.sites[number] for other in others])
        for number, site in enumerate(found.sites)
    )
    if found.highest is None:
        return replace(found, sites=sites)
    highest = [other.highest.peak for other in others if other.highest is not None]
    peak = _between(found.highest.peak, highest)
    return replace(found, sites=sites, highest=replace(found.highest, peak=peak))


def _ends_of_site(site: SitePressure, others: Sequence[SitePressure]) -> SitePressure:
    local = site.local_peak
    if local is not None:
        # a site whose fine grid was not solved somewhere has no ends over the small cell
        fine = [one.local_peak for one in others if one.local_peak is not None]
        local = _between(local, fine) if len(fine) == len(others) else local
    return replace(site, peak=_between(site.peak, [one.peak for one in others]), local_peak=local)


def _between(peak: Peak, others: Sequence[Peak]) -> Peak:
    values = (peak.pressure, *(other.pressure for other in others))
    return replace(peak, low=min(values), high=max(values))
