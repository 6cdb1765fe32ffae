"""The equipment: locomotive brake, car brake, train, air supply, forces."""
