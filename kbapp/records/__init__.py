"""What Provebook knows: cases, their timelines, private details, vocabularies, codes, VINs, units. Pure values."""
