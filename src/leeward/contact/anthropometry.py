"""Breadths and depths of a body from stature, mass and sex, unless someone measured them."""

from dataclasses import dataclass

from leeward.terms.body import Body, Sex
from leeward.terms.sourced import Sourced

_SURVEY = (
    "ANSUR II, US Army 2012 (Natick/TR-15/007), regression on BMI and stature from the public files"
)
_POPULATION = {
    Sex.MALE: "4082 men of working age in military service, BMI 27.7 (SD 4.0)",
    Sex.FEMALE: "1986 women of working age in military service, BMI 25.5 (SD 3.5)",
}


@dataclass(frozen=True, slots=True)
class Regression:
    """A body dimension as a linear function of body mass index and stature.

    Parameters
    ----------
    intercept : float
        Constant term. [m]
    per_bmi : float
        Rise per unit of body mass index. [m^3/kg]
    per_stature : float
        Rise per unit of stature. [-]
    standard_error : float
        Standard error of estimate. [m]
    """

    intercept: float
    per_bmi: float
    per_stature: float
    standard_error: float

    def predict(self, body: Body) -> float:
        """Predict the dimension of one body.

        Parameters
        ----------
        body : Body
            Stature and mass. [-]

        Returns
        -------
        float
            The dimension. [m]
        """
        return (
            self.intercept + self.per_bmi * body.body_mass_index + self.per_stature * body.stature
        )

    def sourced(self, body: Body) -> Sourced:
        """Predict the dimension with its provenance and one standard error either way.

        Parameters
        ----------
        body : Body
            Stature, mass and sex. [-]

        Returns
        -------
        Sourced
            The dimension. [m]
        """
        value = self.predict(body)
        return Sourced(
            value,
            "m",
            _SURVEY,
            _POPULATION[body.sex],
            low=value - self.standard_error,
            high=value + self.standard_error,
        )


HIP_BREADTH = {
    Sex.MALE: Regression(-0.0163, 0.004539, 0.1346, 0.013),
    Sex.FEMALE: Regression(-0.0247, 0.005632, 0.1443, 0.015),
}
SHOULDER_BREADTH = {
    Sex.MALE: Regression(0.0654, 0.006713, 0.1476, 0.015),
    Sex.FEMALE: Regression(0.0537, 0.006542, 0.1411, 0.014),
}
CHEST_DEPTH = {
    Sex.MALE: Regression(-0.0468, 0.005556, 0.0836, 0.012),
    Sex.FEMALE: Regression(-0.0419, 0.006271, 0.0795, 0.015),
}
BUTTOCK_DEPTH = {
    Sex.MALE: Regression(-0.0585, 0.005785, 0.0821, 0.011),
    Sex.FEMALE: Regression(-0.0391, 0.005944, 0.0740, 0.011),
}
WAIST_DEPTH = {
    Sex.MALE: Regression(-0.1062, 0.007447, 0.0785, 0.017),
    Sex.FEMALE: Regression(-0.0662, 0.007510, 0.0539, 0.017),
}


#: Round the fullest part of the buttocks, and at the navel.
HIP_GIRTH = {
    Sex.MALE: Regression(-0.1051, 0.01665, 0.3778, 0.026),
    Sex.FEMALE: Regression(-0.0879, 0.01834, 0.3939, 0.029),
}
WAIST_GIRTH = {
    Sex.MALE: Regression(-0.3353, 0.02479, 0.3357, 0.044),
    Sex.FEMALE: Regression(-0.2219, 0.02424, 0.2854, 0.048),
}


@dataclass(frozen=True, slots=True)
class Dimensions:
    """Breadths and depths a figure is built from.

    Parameters
    ----------
    hip_breadth, shoulder_breadth, chest_depth, waist_depth, buttock_depth : float
        As standing. [m]
    """

    hip_breadth: float
    shoulder_breadth: float
    chest_depth: float
    waist_depth: float
    buttock_depth: float


def body_dimensions(body: Body) -> Dimensions:
    """Take measured breadths and depths; for the others the survey's regression, by girth.

    Parameters
    ----------
    body : Body
        The body. [-]

    Returns
    -------
    Dimensions
        Breadths and depths. [m]

    Notes
    -----
    Where a girth was measured, the regressions round it are scaled by it over its own
    regression. In the survey that brings the standard error of the hips' breadth from 13 and
    15 mm (men, women) to 8 and 9, of the waist's depth from 17 to 10 and 11; the buttocks'
    depth gains nothing (11 to 10 and 11).

    The survey holds fit adults of BMI 17 to 40; outside it, and in frail or very heavy
    people, this is an extrapolation.

    References
    ----------
    .. [1] ANSUR II, 2012 Anthropometric Survey of U.S. Army Personnel, Natick/TR-15/007;
       regressions computed from its public files (standard errors 11-17 mm).

    Examples
    --------
    >>> round(body_dimensions(Body(1.750, 25 * 1.750**2, Sex.MALE)).hip_breadth, 3)
    0.333
    """
    sex = body.sex

    def over(girth: float | None, regression: dict[Sex, Regression]) -> float:
        return 1.0 if girth is None else girth / regression[sex].predict(body)

    def known(
        measured: float | None, regression: dict[Sex, Regression], scale: float = 1.0
    ) -> float:
        return scale * regression[sex].predict(body) if measured is None else measured

    hips, waist = over(body.hip_girth, HIP_GIRTH), over(body.waist_girth, WAIST_GIRTH)
    return Dimensions(
        hip_breadth=known(body.hip_breadth, HIP_BREADTH, hips),
        shoulder_breadth=known(body.shoulder_breadth, SHOULDER_BREADTH),
        chest_depth=known(body.chest_depth, CHEST_DEPTH),
        waist_depth=known(body.waist_depth, WAIST_DEPTH, waist),
        buttock_depth=known(body.buttock_depth, BUTTOCK_DEPTH, hips),
    )
