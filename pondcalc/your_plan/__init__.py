"""What does all of it come to for one pond?"""
