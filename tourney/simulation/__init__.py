"""Contestants, judges and honest mistakes for the rehearsal."""
