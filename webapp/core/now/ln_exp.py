"""ln, exp and the square root by + - * / alone. Twin of static/js/now/ln_exp.js: change both or neither.

Two languages' own functions differ in the last bit; these do not. Reduction to a number near 1 by halving and doubling,
then a short series; within 1e-11 of the standard library from 1e-9 to 1e9 (tests/core/now/test_ln_exp.py). Series:
Abramowitz and Stegun, Handbook of Mathematical Functions, 4.1.27 (ln) and 4.2.1 (exp).
"""

from __future__ import annotations

LN_2 = 0.6931471805599453
LEAST = 1e-12  # nothing in a dough is smaller: what is 0 or below is taken for this much
MOST_EXP = 60.0


def ln(x: float) -> float:
    """Natural logarithm; what is below 1e-12 counts as that."""
    rest = x if x > LEAST else LEAST
    twos = 0
    while rest > 1.5:
        rest = rest / 2
        twos += 1
    while rest < 0.75:
        rest = rest * 2
        twos -= 1
    z = (rest - 1) / (rest + 1)
    square = z * z
    power = z
    total = z
    for i in range(1, 9):
        power = power * square
        total = total + power / (2 * i + 1)
    return twos * LN_2 + 2 * total


def exp(x: float) -> float:
    """e to the power x, for x between -60 and 60; past that, its value there."""
    rest = x
    if rest > MOST_EXP:
        rest = MOST_EXP
    if rest < -MOST_EXP:
        rest = -MOST_EXP
    twos = 0
    while rest > 0.35:
        rest = rest - LN_2
        twos += 1
    while rest < -0.35:
        rest = rest + LN_2
        twos -= 1
    term = 1.0
    total = 1.0
    for i in range(1, 13):
        term = term * rest / i
        total = total + term
    for _ in range(twos):
        total = total * 2
    for _ in range(-twos):
        total = total / 2
    return total


def root(x: float) -> float:
    """Square root, 0 for what is not above 0: Heron's rule from a first guess by the logarithm."""
    if x <= 0:
        return 0.0
    guess = exp(ln(x) / 2)
    return (guess + x / guess) / 2
