import pytest
from scipy import stats

from kbapp.isolation.student import t_cdf, t_quantile


@pytest.mark.parametrize(("df", "expected"), [(8, 3.205955), (4, 4.314656)])
def test_the_quantiles_of_the_wheel_comparison(df: int, expected: float) -> None:
    # [L] scipy
    assert t_quantile(1 - 0.05 / 8, df) == pytest.approx(expected, abs=5e-7)


@pytest.mark.parametrize("df", [1, 2, 3, 7.5, 30, 400])
@pytest.mark.parametrize("p", [0.5, 0.6, 0.9, 0.99, 0.9995])
def test_against_scipy(df: float, p: float) -> None:
    assert t_quantile(p, df) == pytest.approx(float(stats.t.ppf(p, df)), rel=1e-8, abs=1e-9)
    assert t_cdf(1.3, df) == pytest.approx(float(stats.t.cdf(1.3, df)), rel=1e-10)


@pytest.mark.parametrize(("p", "df"), [(0.4, 3), (1.0, 3), (0.9, 0)])
def test_what_is_no_quantile(p: float, df: float) -> None:
    with pytest.raises(ValueError):
        t_quantile(p, df)
