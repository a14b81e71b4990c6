"""Will the oxygen last the night or the winter, and what must aeration deliver?"""
