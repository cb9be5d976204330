"""Checks: published limits, loads, strength, thrust, truss forces and insulation: may it be built?"""
