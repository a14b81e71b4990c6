"""Is the pond layered, and what would turn it over?"""
