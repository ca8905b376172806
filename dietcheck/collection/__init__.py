"""The records as linked, immutable objects: groups, animals, foods, sheets, rotas, treats."""
