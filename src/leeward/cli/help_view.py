"""What would help, as text: how it is now, then each change and what it would do."""

from leeward.cli.console import heading, mark, say
from leeward.programme.helps import Help, as_reason
from leeward.programme.what_would_change import AS_IT_IS


def show_helps(helps: tuple[Help, ...]) -> None:
    """Print what changes would do, each with its band and what is left to whom."""
    if not helps:
        return
    heading("What would help, the smallest change that suffices first")
    for one in helps:
        kind = "ok" if one.qualifies else "attention" if one.by_hand is not None else "stop"
        mark(kind, as_reason(one).sentence)
        if one.code != AS_IT_IS:
            say(f"  Asks for {one.size.in_words}{_alone(one)}.")
    say()
    say(
        "Each was searched anew with its loads in every draw. None is offered by it: to use one, "
        "change the case and plan again."
    )


def _alone(one: Help) -> str:
    if one.share_of_draws is None:
        return ""
    return f"; by itself it suffices in {one.share_of_draws:.0%} of the draws"
