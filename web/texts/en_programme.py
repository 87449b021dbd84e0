"""The words of the round, the programme's list, what was played, and the figures."""

PROGRAMME = {
    "why.too late": "too late",
    "why.gone home": "gone home",
    "why.moved": "moved to another place",
}
