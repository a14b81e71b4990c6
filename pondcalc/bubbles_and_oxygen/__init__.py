"""What do bubbles give to the water, and how much water do they lift?"""
