from dataclasses import replace
from datetime import date

import pytest

from leeward.programme.adult_tables import outside_the_tables
from leeward.programme.stops import signed_in_spite, stops
from leeward.terms.body import Body, Sex
from leeward.terms.person import (
    Consent,
    ConsentKind,
    Contraindication,
    ContraindicationKind,
    SignedReason,
)
from tests.unit.programme import invented

SIGNED = SignedReason("Dr Invented, spinal unit", date(2026, 3, 1), "log-rolled with four people")


def body(stature: float, mass: float, age: float | None = 40.0) -> Body:
    return Body(stature=stature, mass=mass, sex=Sex.FEMALE, age=age)


def codes(reasons):
    return [reason.code for reason in reasons]


def test_an_ordinary_case_may_be_planned():
    assert stops(invented.case()) == ()


@pytest.mark.published("IEC 60601-2-52 A1:2015, reported", "201.3.219, definition of the adult")
@pytest.mark.parametrize(
    ("stature", "mass", "passes"),
    [
        (1.46, 40.0, True),
        (1.459, 40.0, False),
        (1.46, 39.9, False),
        (1.60, 17.0 * 1.6**2, True),
        (1.60, 16.9 * 1.6**2, False),
    ],
)
def test_the_edges_of_the_adult_belong_to_the_adult(stature, mass, passes):
    assert (outside_the_tables(body(stature, mass)) == ()) is passes


def test_seventeen_years_stop_and_eighteen_do_not():
    assert codes(outside_the_tables(body(1.7, 70.0, 17.9))) == ["outside-the-tables"]
    assert outside_the_tables(body(1.7, 70.0, 18.0)) == ()


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (body(1.7, 70.0, 17.99), "age 17.99 years lies below 18"),
        (body(1.7, 70.0, 17.9999999), "age 17.9999999 years lies below 18"),
        (body(1.4599, 60.0, 40.0), "stature 145.99 cm lies below 146"),
        (body(1.7, 39.996, 40.0), "mass 39.996 kg lies below 40"),
        (body(1.7, 49.1, 40.0), "body mass index 16.99 kg/m² lies below 17"),
    ],
)
def test_a_number_below_an_edge_is_never_told_as_the_edge(given, said):
    assert any(said in reason.sentence for reason in outside_the_tables(given))


def test_an_unknown_age_stops():
    given = invented.case(person=invented.person(body=body(1.7, 70.0, None)))
    assert codes(stops(given)) == ["age-not-recorded"]


def test_every_edge_passed_is_named_with_its_number():
    reasons = outside_the_tables(body(1.40, 30.0))
    assert [reason.numbers[0].name for reason in reasons] == [
        "stature",
        "mass",
        "body mass index",
    ]
    assert reasons[1].numbers[1].value == 40.0


@pytest.mark.parametrize("kind", ContraindicationKind)
def test_a_contraindication_stops_until_somebody_signs(kind):
    stopped = invented.case(person=invented.person(contraindications=(Contraindication(kind),)))
    assert codes(stops(stopped)) == ["contraindicated"]
    signed = Contraindication(kind, SIGNED)
    going_on = invented.case(person=invented.person(contraindications=(signed,)))
    assert stops(going_on) == ()
    assert "Dr Invented" in signed_in_spite(going_on)[0].sentence


def test_a_signature_without_name_or_reason_is_none():
    for empty in (replace(SIGNED, by=" "), replace(SIGNED, reason="")):
        one = Contraindication(ContraindicationKind.TRACTION, empty)
        given = invented.case(person=invented.person(contraindications=(one,)))
        assert codes(stops(given)) == ["contraindicated"]


def test_a_specialist_continues_outside_the_tables_and_it_is_shown():
    small = invented.person(body=body(1.40, 45.0), specialist_continues=SIGNED)
    given = invented.case(person=small)
    assert stops(given) == ()
    assert codes(signed_in_spite(given)) == ["outside-the-tables-in-spite"]


def test_refusal_stops_and_no_signature_goes_past_it():
    consent = Consent(ConsentKind.REFUSED, "Invented nurse", date(2026, 3, 1))
    given = invented.case(person=invented.person(consent=consent, specialist_continues=SIGNED))
    assert codes(stops(given)) == ["refused"]


def test_a_unit_not_made_for_this_mass_or_bed_stops():
    heavy = invented.case(invented.unit(greatest_mass=60.0))
    assert codes(stops(heavy)) == ["mass-outside-unit"]
    wide = invented.case(invented.unit(least_width=1.0, greatest_width=1.2))
    assert codes(stops(wide)) == ["width-outside-unit"]


def test_a_bed_that_cannot_carry_person_and_unit_stops():
    plain = invented.case()
    given = replace(plain, bed=replace(plain.bed, safe_working_load=87.9))
    assert codes(stops(given)) == ["bed-overloaded"]
    enough = replace(plain, bed=replace(plain.bed, safe_working_load=88.0))
    assert stops(enough) == ()


def test_without_a_unit_nothing_can_be_set():
    assert codes(stops(replace(invented.case(), equipment=None))) == ["no-unit"]


@pytest.mark.parametrize("kind", ContraindicationKind)
def test_every_contraindication_stops_until_somebody_with_a_name_and_a_reason_goes_on(kind):
    def of(signed):
        one = Contraindication(kind, signed)
        return invented.case(person=invented.person(contraindications=(one,)))

    for unsigned in (None, replace(SIGNED, by=" "), replace(SIGNED, reason=" ")):
        (stop,) = stops(of(unsigned))
        assert stop.code == "contraindicated"
        assert kind.value in stop.sentence.lower()
        assert signed_in_spite(of(unsigned)) == ()
    assert stops(of(SIGNED)) == ()
    (said,) = signed_in_spite(of(SIGNED))
    assert SIGNED.by in said.sentence
    assert SIGNED.reason in said.sentence
