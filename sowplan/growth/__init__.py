"""Stage 3: a crop at a site into dates. Knows nothing of beds, wants or plans."""
