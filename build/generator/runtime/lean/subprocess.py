"""The three constants that an event loop's signatures name; a page starts no processes."""

PIPE = -1
STDOUT = -2
DEVNULL = -3
