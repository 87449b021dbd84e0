"""Bad input: everything that reads what comes from outside, given what is damaged.

`readers` is the table of what is tried, `samples` has the valid files that are damaged, `damage`
the kinds of damage, `engines` the two ways to choose it: blindly by a seed, or led by coverage.
"""
