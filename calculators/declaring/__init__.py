"""How a calculator is declared: the registry, and the inputs that several of them share."""
