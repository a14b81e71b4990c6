"""What pressure must the compressor meet, through which line, and which machine can do it?"""
