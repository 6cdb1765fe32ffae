"""One folder a question; `shared` holds what several of them use."""
