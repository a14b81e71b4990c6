"""What does the compressor draw, how is it wired, cooled and paid for, and how loud is it?"""
