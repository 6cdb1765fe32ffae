"""Set-up: what a fresh machine needs, fetched once, from locks that carry hashes.

Standard library only, because it runs before anything is installed.
"""
