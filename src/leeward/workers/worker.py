"""One other process that solves requests, and what it answers."""

import pickle
import subprocess
import sys
from typing import IO, Any

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.terms.errors import LeewardError


class WorkerLost(Exception):
    """The other process ended, or answered something that is no answer."""


class Worker:
    """A process that solves one request at a time; it ends when this one does."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-m", "leeward.workers"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )

    def solve(self, request: LoadRequest) -> LoadTable | LeewardError:
        """Wait for the answer to one request.

        Parameters
        ----------
        request : LoadRequest
            What loads are wanted.

        Returns
        -------
        LoadTable or LeewardError
            The loads, or why there are none.

        Raises
        ------
        WorkerLost
            If the process cannot be reached any more.
        """
        asked, answered = self._pipes()
        try:
            pickle.dump(request, asked, protocol=pickle.HIGHEST_PROTOCOL)
            asked.flush()
            answer = pickle.load(answered)
        except (OSError, EOFError, ValueError, pickle.UnpicklingError) as lost:
            raise WorkerLost from lost
        if not isinstance(answer, LoadTable | LeewardError):
            raise WorkerLost
        return answer

    def close(self) -> None:
        """End the process; it may be in the middle of a request."""
        self._process.kill()
        self._process.wait()
        for pipe in self._pipes():
            try:
                pipe.close()
            except OSError:
                continue

    def _pipes(self) -> tuple[IO[Any], IO[Any]]:
        asked, answered = self._process.stdin, self._process.stdout
        if asked is None or answered is None:
            raise WorkerLost
        return asked, answered
