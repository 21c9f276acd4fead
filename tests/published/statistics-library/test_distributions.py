"""Quantiles and probabilities beside scipy's, which nothing that runs needs."""

import pytest
from scipy import stats

from groundstrap.physics.distributions import (
    chi_square_exceeds,
    chi_square_quantile,
    normal_probability,
    normal_quantile,
    student_probability,
    student_quantile,
)

DEGREES = [0.5, 1, 2, 3, 4.5, 10, 16.6, 40, 300, 5000]


@pytest.mark.parametrize("degrees", DEGREES)
def test_chi_square(degrees: float) -> None:
    for chi2 in (0.0, 1e-6, 0.1, 1, 2.5, 7.8, 20, 60, 300, 5200):
        assert chi_square_exceeds(chi2, degrees) == pytest.approx(
            stats.chi2.sf(chi2, degrees), rel=1e-9, abs=1e-13
        )
    for probability in (0.01, 0.5, 0.95, 0.999):
        library = stats.chi2.ppf(probability, degrees)
        assert chi_square_quantile(probability, degrees) == pytest.approx(library, rel=1e-8)


@pytest.mark.parametrize("degrees", DEGREES)
def test_student(degrees: float) -> None:
    for value in (-50, -3, -0.2, 0.0, 0.5, 2, 9):
        library = stats.t.cdf(value, degrees)
        assert student_probability(value, degrees) == pytest.approx(library, rel=1e-9, abs=1e-14)
    for probability in (0.005, 0.3, 0.5, 0.9, 0.975, 0.9995):
        library = stats.t.ppf(probability, degrees)
        assert student_quantile(probability, degrees) == pytest.approx(library, rel=1e-8, abs=1e-12)


def test_normal() -> None:
    for probability in (1e-9, 0.025, 0.5, 0.84, 0.999999):
        assert normal_quantile(probability) == pytest.approx(stats.norm.ppf(probability), rel=1e-9, abs=1e-14)
        assert normal_probability(normal_quantile(probability)) == pytest.approx(probability, rel=1e-9)


def test_many_degrees_are_the_normal_distribution() -> None:
    assert student_quantile(0.975, 1e8) == pytest.approx(stats.t.ppf(0.975, 1e8), rel=1e-7)
    assert student_probability(1.5, 1e8) == pytest.approx(stats.t.cdf(1.5, 1e8), rel=1e-7)
