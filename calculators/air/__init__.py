"""How air behaves: gas law and volumes, orifices, pipe friction. SI units, absolute pressures."""
