#!/usr/bin/python3
"""Works out the numbers of src/base/elementary_tables.h and prints that file; with --exp the series of src/base/quick.h.

    scripts/elementary_tables.py | clang-format >src/base/elementary_tables.h

Polynomials interpolate their function at the Chebyshev nodes of its interval (in 60 digits, then rounded to doubles), which
is within a digit of the best polynomial of that degree; the leading coefficient of a series is fixed where it is a round
number. Needs mpmath (python3-mpmath).
"""
import argparse
import sys


def polynomial(mp, function, low, high, degree):
    """Coefficients, lowest first, of the polynomial through the Chebyshev nodes of low..high."""
    n = degree + 1
    middle, half = (mp.mpf(low) + mp.mpf(high)) / 2, (mp.mpf(high) - mp.mpf(low)) / 2
    nodes = [middle + half * mp.cos(mp.pi * (2 * i + 1) / (2 * n)) for i in range(n)]
    vandermonde = mp.matrix(n, n)
    for i, x in enumerate(nodes):
        for j in range(n):
            vandermonde[i, j] = x**j
    solved = mp.lu_solve(vandermonde, mp.matrix([function(x) for x in nodes]))
    return [solved[j] for j in range(n)]


def parts(mp, x, last_bit=None):
    """A number as a double and what that leaves; the first a multiple of 2^last_bit if that is given."""
    first = mp.nint(x * mp.mpf(2) ** -last_bit) * mp.mpf(2) ** last_bit if last_bit is not None else mp.mpf(float(x))
    return float(first), float(x - first)


def series(x, term, terms=60):
    """A power series by its terms, where the closed form would lose its digits."""
    return sum(term(j) * x**j for j in range(terms))


def print_list(name, values, comment):
    print(f"/* {comment} */")
    print(f"static const double {name}[{len(values)}] = {{")
    line = "   "
    for value in values:
        text = f" {value.hex()},"
        if len(line) + len(text) > 120:
            print(line)
            line = "   "
        line += text
    print(line)
    print("};\n")


def print_exp(mp):
    print_list("ln2", parts(mp, mp.log(2), -40), "log 2, the first part a multiple of 2^-40")
    rest = polynomial(mp, lambda r: series(r, lambda j: 1 / mp.factorial(j + 3)), -0.4, 0.4, 9)
    print_list("exp_series", [float(c) for c in rest], "(exp(r) - 1 - r - r^2/2) / r^3 for |r| <= 0.4")


def print_tables(mp):
    pi, two = mp.pi, mp.mpf(2)
    print("/** The tables of elementary.c, worked out by scripts/elementary_tables.py. */")
    print("#ifndef WG_BASE_ELEMENTARY_TABLES_H")
    print("#define WG_BASE_ELEMENTARY_TABLES_H\n")

    rest, turn = pi / 2, []
    for i in range(3):
        last_bit = int(mp.floor(mp.log(rest, 2))) - 32
        part = mp.floor(rest * two**-last_bit) * two**last_bit
        turn.append(float(part))
        rest -= part
    turn.append(float(rest))
    print_list("quarter_turn", turn, "pi/2 in parts, three of 33 bits: their products with a number of quarter turns are exact")
    high, low = parts(mp, pi / 2)
    print_list("half_pi", [high, low], "pi/2 as a double and the rest")

    print_list("log_series", [float(c) for c in polynomial(
        mp, lambda r: series(r, lambda j: (-1) ** j / mp.mpf(j + 3), 90), -(two**-8), two**-7, 5)],
        "(log(1 + r) - r + r^2/2) / r^3 for -2^-8 <= r <= 2^-7")

    quarter = (pi / 4 + mp.mpf("1e-6")) ** 2
    print_list("sin_series", [float(c) for c in polynomial(
        mp, lambda u: series(u, lambda j: (-1) ** (j + 1) / mp.factorial(2 * j + 3), 30), 0, quarter, 5)],
        "(sin(r)/r - 1) / r^2 in r^2, |r| <= pi/4")
    print_list("cos_series", [float(c) for c in polynomial(
        mp, lambda u: series(u, lambda j: (-1) ** j / mp.factorial(2 * j + 4), 30), 0, quarter, 5)],
        "(cos(r) - 1 + r^2/2) / r^4 in r^2, |r| <= pi/4")
    print_list("atan_series", [float(c) for c in polynomial(
        mp, lambda u: series(u, lambda j: (-1) ** (j + 1) / mp.mpf(2 * j + 3), 60), 0, mp.mpf(0.0313) ** 2, 4)],
        "(atan(t)/t - 1) / t^2 in t^2, |t| <= 1/32")

    def asin_rest(u):
        # (2j)! / (4^j j!^2 (2j + 1)) u^j
        return series(u, lambda j: mp.factorial(2 * j + 2) / (mp.mpf(4) ** (j + 1) * mp.factorial(j + 1) ** 2 * (2 * j + 3)),
                      150)
    print_list("asin_series", [float(c) for c in polynomial(mp, asin_rest, 0, mp.mpf("0.2501"), 12)],
               "(asin(x)/x - 1) / x^2 in x^2, |x| <= 1/2")

    erf_part = polynomial(
        mp, lambda u: 2 / mp.sqrt(pi) * series(u, lambda j: (-1) ** (j + 1) / (mp.factorial(j + 1) * (2 * j + 3)), 60), 0, 0.391, 8)
    print_list("erf_series", [float(c) for c in erf_part], "(erf(x)/x - 2/sqrt(pi)) / x^2 in x^2, |x| <= 5/8")
    high, low = parts(mp, 2 / mp.sqrt(pi) - 1)
    print_list("erf_slope", [high], "2/sqrt(pi) - 1")

    def fall(t):
        # x from t = (x - 4)/(x + 4)
        x = 4 * (1 + t) / (1 - t)
        return (1 + 2 * x) * mp.erfc(x) * mp.exp(x * x)
    fall_poly = polynomial(mp, fall, mp.mpf("-0.731"), mp.mpf("0.745"), 23)  # x = 0.622 to 27.3
    high, low = parts(mp, fall_poly[0])
    print_list("fall_series", [float(c) for c in fall_poly[1:]],
               "((1 + 2 x) exp(x^2) erfc(x) - fall_top) / t in t = (x - 4)/(x + 4), x = 0.622 to 27")
    print_list("fall_top", [high, low], "(1 + 2 x) exp(x^2) erfc(x) at x = 4")

    print("/* atan(j/16) as a double and the rest */")
    print("static const double atan_at[17][2] = {")
    for j in range(17):
        high, low = parts(mp, mp.atan(mp.mpf(j) / 16))
        print(f"    {{{high.hex()}, {low.hex()}}},")
    print("};\n")

    print("/*")
    print(" * For the j-th of 128 intervals of 3/4 to 3/2 (the first 64 of them half as wide): c near 1 over its middle, in 12 bits, and")
    print(" * -log c as a multiple of 2^-40 and the rest. Around 1 c is 1.")
    print(" */")
    print("static const struct {\n    double c, high, low;\n} log_at[128] = {")
    for j in range(128):
        start, width = (mp.mpf(3) / 4 + j * two**-8, two**-8) if j < 64 else (1 + (j - 64) * two**-7, two**-7)
        c = mp.nint(4096 / (start + width / 2)) / 4096 if j not in (63, 64) else mp.mpf(1)
        high, low = parts(mp, -mp.log(c), -40)
        print(f"    {{{float(c).hex()}, {high.hex()}, {low.hex()}}},")
    print("};\n")
    print("#endif")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--exp", action="store_true", help="print the series of quick.h")
    wanted = parser.parse_args()
    import mpmath  # here, so that --help needs none

    mpmath.mp.dps = 60
    (print_exp if wanted.exp else print_tables)(mpmath)
    return 0


if __name__ == "__main__":
    sys.exit(main())
