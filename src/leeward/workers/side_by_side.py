"""Shares requests out between this process and others, and remembers what was solved."""

import os
import threading
from collections import deque
from collections.abc import Sequence
from typing import Final, Self

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.terms.errors import LeewardError
from leeward.workers.worker import Worker, WorkerLost

#: More processes than this wait for each other's memory. Source: convention of this project.
MOST_WORKERS: Final = 8


def usual_count() -> int:
    """How many processes to use when nobody says: one a core, few enough to share a machine."""
    return max(1, min(4, os.cpu_count() or 1))


class SideBySide:
    """Solves requests on several processes at once.

    Parameters
    ----------
    count : int
        Processes in all, this one among them; 1 starts no other.

    Notes
    -----
    A request is solved whole by one process, by the same code, so the answers do not depend
    on the count. A process that is lost leaves its request to the others; this one is
    never lost.
    """

    def __init__(self, count: int) -> None:
        self._workers = [Worker() for _ in range(min(count, MOST_WORKERS) - 1)]
        self._solved: list[tuple[LoadRequest, LoadTable]] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        for worker in self._workers:
            worker.close()

    def __call__(self, requests: Sequence[LoadRequest]) -> list[LoadTable]:
        """Solve requests; the answers stand in their order.

        Parameters
        ----------
        requests : sequence of LoadRequest
            What loads are wanted.

        Returns
        -------
        list of LoadTable
            One for each.

        Raises
        ------
        CannotCompute, InvalidInput
            As `posture_loads`, for the first request that has no answer.
        """
        known = [self._remembered(request) for request in requests]
        open_ones = [number for number, table in enumerate(known) if table is None]
        answers = self._shared_out([requests[number] for number in open_ones])
        for number, answer in zip(open_ones, answers, strict=True):
            if isinstance(answer, LeewardError):
                raise answer
            self._solved.append((requests[number], answer))
            known[number] = answer
        return [table for table in known if table is not None]

    def _remembered(self, request: LoadRequest) -> LoadTable | None:
        for solved, table in self._solved:
            alike = (solved.body, solved.bed, solved.surface, solved.scenarios) == (
                request.body,
                request.bed,
                request.surface,
                request.scenarios,
            )
            if alike and set(request.postures) <= set(solved.postures):
                return table.part(request.postures)
        return None

    def _shared_out(self, requests: list[LoadRequest]) -> list[LoadTable | LeewardError]:
        order = sorted(range(len(requests)), key=lambda number: -_work(requests[number]))
        waiting = deque(order)
        answers: dict[int, LoadTable | LeewardError] = {}
        helped = [
            threading.Thread(target=_serve, args=(worker, waiting, requests, answers))
            for worker in self._workers[: len(requests) - 1]
        ]
        for thread in helped:
            thread.start()
        _solve_here(waiting, requests, answers)
        for thread in helped:
            thread.join()
        # what a lost process left behind
        _solve_here(waiting, requests, answers)
        return [answers[number] for number in range(len(requests))]


def _work(request: LoadRequest) -> float:
    """Steps of the path over all postures, times the scenarios: enough to put them in order."""
    turns = [abs(posture.turn) for posture in request.postures]
    raised = {posture.with_turn(0.0) for posture in request.postures}
    return len(request.scenarios) * (sum(turns) + max(turns, default=0.0) + len(raised))


def _solve_here(
    waiting: deque[int], requests: list[LoadRequest], answers: dict[int, LoadTable | LeewardError]
) -> None:
    while waiting:
        try:
            number = waiting.popleft()
        except IndexError:  # another thread was quicker
            return
        try:
            answers[number] = posture_loads(requests[number])
        except LeewardError as refused:
            answers[number] = refused


def _serve(
    worker: Worker,
    waiting: deque[int],
    requests: list[LoadRequest],
    answers: dict[int, LoadTable | LeewardError],
) -> None:
    while True:
        try:
            number = waiting.popleft()
        except IndexError:
            return
        try:
            answers[number] = worker.solve(requests[number])
        except WorkerLost:
            waiting.appendleft(number)
            return
