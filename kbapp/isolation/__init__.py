"""Where is the fault, how sure, what next: fault isolation, the swap guard and the arithmetic under them. Pure."""
