"""How is aeration started without harm, and what does a year with and without it look like?"""
