"""What the rider wrote, taken apart: words, spelling, concepts, clauses, quantities, stated readings."""
