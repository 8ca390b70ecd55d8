"""What is said of the choices of a plan where conventions are taken otherwise."""

from dataclasses import dataclass

from leeward.terms.site import Site


@dataclass(frozen=True, slots=True)
class IndexThen:
    """Largest index of one choice under one change.

    Parameters
    ----------
    index : float or None
        On central values; None where it cannot be told. [-]
    site : Site or None
        The site that limits it then.
    """

    index: float | None
    site: Site | None


@dataclass(frozen=True, slots=True)
class ConventionChanged:
    """One convention taken otherwise, on both sides of the comparison.

    Parameters
    ----------
    code : str
        Its key; `as-planned` for the first, which changes nothing.
    sentence : str
        What is taken to be otherwise, in words.
    choices : tuple of IndexThen
        One for each choice.
    """

    code: str
    sentence: str
    choices: tuple[IndexThen, ...]


@dataclass(frozen=True, slots=True)
class OrderOfTwo:
    """Whether two choices keep their order.

    Parameters
    ----------
    first, second : int
        Numbers of the choices, from 0. [-]
    is_told_apart : bool
        Whether their indices differ by more than the noise as planned.
    turned_by : tuple of str
        Codes of the changes under which the other one is used less.
    """

    first: int
    second: int
    is_told_apart: bool
    turned_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """How the choices stand while the conventions change one by one.

    Parameters
    ----------
    names : tuple of str
        The choices.
    changes : tuple of ConventionChanged
        As planned first.
    orders : tuple of OrderOfTwo
        Every pair of choices.
    compared_with : str
        What an index of 1 stands for.
    """

    names: tuple[str, ...]
    changes: tuple[ConventionChanged, ...]
    orders: tuple[OrderOfTwo, ...]
    compared_with: str
