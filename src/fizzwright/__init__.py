"""Fizzwright: pressurised CO2 on freshwater planted tanks, planned with a band on every number."""

__version__ = "0.1.0"
__all__ = ["__version__"]
