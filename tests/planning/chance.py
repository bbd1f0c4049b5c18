"""Subscribers who really leave and join, one by one, as a simulation draws them."""

from random import Random


def simulated(random: Random, number: int, joins: float, churn: float, ahead: int) -> int:
    """One way that it may go: everybody leaves or stays by herself, then so many join."""
    for _ in range(ahead):
        number = sum(random.random() >= churn for _ in range(number))
        at = random.expovariate(joins)
        while at < 1:
            number, at = number + 1, at + random.expovariate(joins)
    return number
