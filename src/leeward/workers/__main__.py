"""The other process: reads one request after another, writes each answer, ends with its input."""

import pickle
import sys

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import posture_loads
from leeward.terms.errors import LeewardError


def main() -> int:
    """Answer until nothing more is asked."""
    asked, answered = sys.stdin.buffer, sys.stdout.buffer
    # whatever prints by mistake must not break the stream of answers
    sys.stdout = sys.stderr
    while True:
        try:
            request = pickle.load(asked)
        except EOFError:
            return 0
        try:
            answer: LoadTable | LeewardError = posture_loads(request)
        except LeewardError as refused:
            answer = refused
        pickle.dump(answer, answered, protocol=pickle.HIGHEST_PROTOCOL)
        answered.flush()


if __name__ == "__main__":
    try:
        raise SystemExit(main())
    except (KeyboardInterrupt, BrokenPipeError):
        raise SystemExit(130) from None
