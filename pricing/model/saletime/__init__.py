"""Listings → days to sell at an ask, and how far buyers talk one down."""
