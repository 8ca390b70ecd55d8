"""Loads a search asks for once it is known that nothing qualifies."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import Protocol

from leeward.programme.changes import Change
from leeward.programme.hand_turns import HandTurns, hand_turns, turned_by_hand_in
from leeward.programme.helps import Variation
from leeward.programme.problem import Problem, problem
from leeward.programme.settable import needed_postures
from leeward.programme.yardstick import Yardstick
from leeward.terms.posture import Place, Posture
from leeward.tissue.demand import Demand, Solver
from leeward.tissue.further_demand import Further, further_ratios
from leeward.tissue.load_ratios import LoadRatios


class More(Protocol):
    """Whatever can compute further loads of a search."""

    def hands(self, given: Problem, *, likeliest_only: bool) -> HandTurns:
        """Compute turns by hand in the windows of a search.

        Parameters
        ----------
        given : Problem
            The search.
        likeliest_only : bool
            On the likeliest loads alone.

        Returns
        -------
        HandTurns
            Over its draws, or the first.
        """
        ...

    def variations(
        self, given: Problem, changes: tuple[Change, ...], *, likeliest_only: bool
    ) -> tuple[Variation, ...]:
        """Set up the search anew under changes.

        Parameters
        ----------
        given : Problem
            The search.
        changes : tuple of Change
            Changes somebody could make.
        likeliest_only : bool
            On the likeliest loads alone.

        Returns
        -------
        tuple of Variation
            One for each, in the same order.
        """
        ...


@dataclass(frozen=True, slots=True, eq=False)
class MoreLoads:
    """Further loads of a case, solved when they are asked for.

    Parameters
    ----------
    found : Demand
        What the plan stands on.
    now : datetime
        Time for which it holds, aware.
    solve : Solver
        Computes loads.
    """

    found: Demand
    now: datetime
    solve: Solver

    def hands(self, given: Problem, *, likeliest_only: bool) -> HandTurns:
        """Compute turns by hand in the windows of a search.

        Parameters
        ----------
        given : Problem
            The search.
        likeliest_only : bool
            On the likeliest loads alone.

        Returns
        -------
        HandTurns
            What the regime compared holds of them is not solved again.
        """
        windows = turned_by_hand_in(given.windows, given.compared.stay_limit.value)
        further = partial(self._further, likeliest_only=likeliest_only)
        return hand_turns(given.case, self.found, windows, lambda one: further([one])[0])

    def _further(self, asked: Sequence[Further], *, likeliest_only: bool) -> tuple[LoadRatios, ...]:
        return further_ratios(
            self.found, asked, self.now, self.solve, likeliest_only=likeliest_only
        )

    def variations(
        self, given: Problem, changes: tuple[Change, ...], *, likeliest_only: bool
    ) -> tuple[Variation, ...]:
        """Set up the search anew under changes.

        Parameters
        ----------
        given : Problem
            The search.
        changes : tuple of Change
            Changes somebody could make.
        likeliest_only : bool
            On the likeliest loads alone: stability and bands are then not known.

        Returns
        -------
        tuple of Variation
            One for each, against the same yardstick; all are solved together. Where the bed
            stays as it is, what the plan knows is not solved again.
        """
        asked = [self._asked(given, change) for change in changes]
        missing = [
            Further(change.case, more) for change, (_, more) in zip(changes, asked, strict=True)
        ]
        solved = self._further(missing, likeliest_only=likeliest_only)
        compared = _likeliest(given.compared) if likeliest_only else given.compared
        draws = len(compared.longest_loaded)
        return tuple(
            Variation(
                change.code,
                change.sentence,
                problem(change.case, given.unit, known.first_draws(draws).beside(more), compared),
                change.size,
                change.numbers,
                change.decides,
            )
            for change, (known, _), more in zip(changes, asked, solved, strict=True)
        )

    def _asked(self, given: Problem, change: Change) -> tuple[LoadRatios, tuple[Posture, ...]]:
        """What the plan knows of the postures a change needs, and those to be solved."""
        ability = given.unit.ability
        reach = max(ability.largest_turn_left, ability.largest_turn_right) + 1e-9
        needed = [
            one
            for one in needed_postures(change.case)
            if one.place is Place.BED and abs(one.turn) <= reach
        ]
        case = given.case
        is_same_bed = (change.case.bed, change.case.placement) == (case.bed, case.placement)
        ratios = self.found.ratios
        known = tuple(one for one in needed if is_same_bed and one in ratios.postures)
        return ratios.part(known), tuple(one for one in needed if one not in known)


def _likeliest(compared: Yardstick) -> Yardstick:
    """The same measure for loads computed in the central draw alone."""
    peaks = replace(
        compared.peaks, peak=compared.peaks.peak[:1], ceiling=compared.peaks.ceiling[:1]
    )
    return replace(compared, peaks=peaks, longest_loaded=compared.longest_loaded[:1])
