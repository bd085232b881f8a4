#!/usr/bin/env python3
"""Works Pullmark's statistics out again with SciPy and compares.

Nothing of the program's own code is used: distributions come from SciPy, everything else is written here from the
formulas of the sources:
  JCGM 100:2008   combined and expanded uncertainty, Welch-Satterthwaite (5.1, 5.2, G.4)
  JCGM 106:2012   conformance probability (7)
  NIST/SEMATECH e-Handbook, 6.3.2   EWMA and CUSUM
  ISO 22514-2     capability, with chi-squared, Bissell's and non-central t intervals
  ISO 13528       normalized error

The file is JSON: {"cases": [{"what": NAME, "given": ..., "found": [numbers]}]}. A number agrees if it is off by no more
than 1e-9 of the expected one, or of 1 where the case can come out at zero by cancellation (see FLOORS).

  check_statistics.py FILE

Exit status: 0 all agree, 1 one does not, 2 the question was wrong. Needs Python 3.9 or newer and the package `scipy`.
"""

import json
import math
import sys

from scipy import integrate, optimize, special

TOLERANCE = 1e-9
# Sums and differences around zero: what they are off by is measured against the size of what goes in, which is 1 or more.
FLOORS = {"cusum": 1.0, "ewma": 1.0, "interpolation": 1.0, "between-calibrations": 1.0, "cpk": 0.1, "zone": 1.0}


def below(x, freedom):
    """The probability that a normal value, or a t value, is at most x. Above x it is `below(-x)`."""
    return float(special.ndtr(x) if freedom is None else special.stdtr(freedom, x))


def coverage(probability, freedom):
    tail = (1 - probability) / 2
    return -float(special.ndtri(tail) if freedom is None else special.stdtrit(freedom, tail))


def probabilities(given):
    best, standard, freedom = given["best"], given["standard"], given["freedom"]
    high = (given["upper"] - best) / standard
    over = below(-high, freedom)
    if given["lower"] is None:
        return [0.0, below(high, freedom), over]
    low = (given["lower"] - best) / standard
    # Of the two ways to write it the one that subtracts the smaller numbers.
    if high < 0:
        within = below(high, freedom) - below(low, freedom)
    else:
        within = below(-low, freedom) - over
    return [below(low, freedom), within, over]


def budget(given):
    lines = given["lines"]
    standard = math.sqrt(math.fsum(u * u for u, _ in lines))
    weak = math.fsum(u**4 / v for u, v in lines if v is not None)
    freedom = standard**4 / weak if weak else None
    k = coverage(given["probability"], freedom)
    return [standard, freedom or 0.0, k, k * standard]


def ewma(given):
    target, sigma, weight, width = (given[name] for name in ("target", "sigma", "weight", "width"))
    value, out = target, []
    for number, x in enumerate(given["values"], 1):
        value = weight * x + (1 - weight) * value
        half = width * sigma * math.sqrt(weight / (2 - weight) * (1 - (1 - weight) ** (2 * number)))
        out += [value, target - half, target + half]
    return out


def cusum(given):
    target, allowance = given["target"], given["allowance"]
    high, low, out = 0.0, 0.0, []
    for x in given["values"]:
        high = max(0.0, high + x - target - allowance)
        low = max(0.0, low + target - x - allowance)
        out += [high, low]
    return out


def interpolation(given):
    x, rho, line = given["torque"], given["correlation"], given["between"]
    points = given["points"]
    (x1, e1, u1), (x2, e2, u2) = next((a, b) for a, b in zip(points, points[1:]) if a[0] <= x <= b[0])
    share = (x - x1) / (x2 - x1)
    error = (1 - share) * e1 + share * e2
    square = ((1 - share) * u1) ** 2 + (share * u2) ** 2 + 2 * share * (1 - share) * rho * u1 * u2
    return [error, math.sqrt(square + line**2), x / (1 + error / 100)]


def normalized_error(given):
    first, second, u_first, u_second = given
    return [abs(second - first) / math.sqrt(u_first**2 + u_second**2)]


def cp(given):
    width, freedom, confidence = given
    tail = (1 - confidence) / 2
    low, high = 2 * special.gammaincinv(freedom / 2, tail), 2 * special.gammainccinv(freedom / 2, tail)
    return [width * math.sqrt(low / freedom), width * math.sqrt(high / freedom)]


def cpk(given):
    estimate, readings, freedom, confidence = given
    half = coverage(confidence, None) * math.sqrt(1 / (9 * readings) + estimate**2 / (2 * freedom))
    return [estimate - half, estimate + half]


def cpu(given):
    estimate, readings, freedom, confidence = given
    scale = 3 * math.sqrt(readings)
    t, tail = scale * estimate, (1 - confidence) / 2

    def bound(probability):
        far = 12 * math.sqrt(1 + t * t / (2 * freedom))
        off = lambda shift: non_central(t, freedom, shift) - probability
        return optimize.brentq(off, t - far, t + far, xtol=1e-13, rtol=1e-14) / scale

    return [bound(1 - tail), bound(tail)]


def non_central(t, freedom, shift):
    """By integrating over the estimated standard deviation: SciPy's own nct is good to fewer figures."""
    half = freedom / 2
    scale = (1 - half) * math.log(2) - float(special.gammaln(half))

    def density(chi):
        if chi <= 0:
            return 0.0
        log = scale + (freedom - 1) * math.log(chi) - chi * chi / 2
        return math.exp(log) * below(t * chi / math.sqrt(freedom) - shift, None)

    middle = math.sqrt(freedom)
    step = min(max(shift * middle / t if t else middle, middle - 9), middle + 9)
    points = sorted({max(0.0, middle - 10), middle, step, middle + 10})
    parts = [integrate.quad(density, a, b, epsabs=1e-14, epsrel=1e-12)[0] for a, b in zip(points, points[1:])]
    return math.fsum(parts)


def zone(given):
    """The upper end of the acceptance zone in which the conformance probability is large enough."""
    standard, freedom, lower, upper, probability = given
    within = lambda y: below((upper - y) / standard, freedom) - below((lower - y) / standard, freedom)
    off = lambda y: within(y) - probability
    return [optimize.brentq(off, (lower + upper) / 2, upper, xtol=1e-13, rtol=1e-14)]


CHECKS = {
    "normal-cdf": lambda g: [below(g[0], None)],
    "normal-tail": lambda g: [below(-g[0], None)],
    "normal-quantile": lambda g: [special.ndtri(g[0])],
    "student-cdf": lambda g: [below(g[0], g[1])],
    "student-tail": lambda g: [below(-g[0], g[1])],
    "student-quantile": lambda g: [special.stdtrit(g[1], g[0])],
    "student-coverage": lambda g: [coverage(g[0], g[1])],
    "chi-squared-cdf": lambda g: [special.gammainc(g[1] / 2, g[0] / 2)],
    "chi-squared-quantile": lambda g: [2 * special.gammaincinv(g[1] / 2, g[0])],
    "probabilities": probabilities,
    "budget": budget,
    "ewma": ewma,
    "cusum": cusum,
    "interpolation": interpolation,
    "normalized-error": normalized_error,
    "between-calibrations": lambda g: [g[0] + (g[1] - g[0]) * g[2]],
    "cp": cp,
    "cpk": cpk,
    "cpu": cpu,
    "zone": zone,
}


def off_by(what, found, expected):
    if len(found) != len(expected):
        return math.inf
    floor = FLOORS.get(what, 0.0)
    worst = 0.0
    for one, other in zip(found, expected):
        size = max(abs(other), floor)
        off = abs(one - other) / size if size else abs(one)
        # Not a number agrees with nothing.
        worst = max(worst, off) if off == off else math.inf
    return worst


def main():
    try:
        with open(sys.argv[1], encoding="utf-8") as file:
            cases = json.load(file)["cases"]
        unknown = {case["what"] for case in cases} - set(CHECKS)
        if unknown or not cases:
            raise ValueError(f"nothing to check, or unknown: {sorted(unknown)}")
    except (IndexError, OSError, KeyError, TypeError, ValueError) as error:
        print(f"cannot check: {error}", file=sys.stderr)
        return 2
    worst = {}
    for case in cases:
        expected = [float(value) for value in CHECKS[case["what"]](case["given"])]
        off = off_by(case["what"], case["found"], expected)
        before = worst.get(case["what"], (-1.0, None, None, 0))
        number = before[3] + 1
        worst[case["what"]] = (off, case, expected, number) if off > before[0] else (*before[:3], number)
    for what, (off, _, _, number) in sorted(worst.items()):
        verdict = "agrees" if off <= TOLERANCE else "does not agree"
        print(f"{what:22} {number:5} cases, worst {off:.1e}, {verdict}")
    what, (off, case, expected, _) = max(worst.items(), key=lambda item: item[1][0])
    print(f"worst of all: {what}, off by {off:.3e} of the expected figure")
    if off <= TOLERANCE:
        return 0
    print(f"does not agree: {json.dumps(case)[:2000]}\nexpected {expected}", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
