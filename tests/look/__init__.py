"""Specimen pages of the house, and how they are photographed and audited."""
