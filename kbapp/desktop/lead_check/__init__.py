"""Lead Check: the queue of repaired cases, before and after, the signature, and what comes after it."""
