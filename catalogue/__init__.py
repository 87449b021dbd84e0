"""The catalogue: what a station holds, how a request is heard, and what to say about it."""
