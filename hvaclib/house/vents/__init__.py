"""Vents in the house: pipes and junctions in the network, gas columns that remember how warm they are."""
