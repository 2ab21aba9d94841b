"""Make two hundred mistakes in the package's circuits, see which the review catches, and write the tables.

`python tools/write_mutations.py` takes some minutes; it writes tests/review/mutations/outcomes.json
and the tables of docs/check.md. With ``--table`` only the tables are written, from the outcomes kept;
with ``--check`` nothing is written, and the exit status is 1 when the tables are stale.
"""

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "check.md"
BEGIN, END = "<!-- mutations: begin -->", "<!-- mutations: end -->"


def page_with(table: str, page: str) -> str:
    """The page with the tables between their marks."""
    head, _, rest = page.partition(BEGIN)
    _, _, tail = rest.partition(END)
    return f"{head}{BEGIN}\n\n{table}\n\n{END}{tail}"


def judged() -> None:
    """Judge every mistake and keep the outcomes."""
    from tests.review.mutations.choosing import chosen
    from tests.review.mutations.judging import Outcome, judge
    from tests.review.mutations.outcomes import SEEDS, keep

    found: dict[int, list[Outcome]] = {}
    for seed in SEEDS:
        found[seed] = []
        for one in chosen(seed):
            found[seed].append(judge(one))
            print(f"{seed} {len(found[seed])} {one.key}", flush=True)
    keep(found)


def main(arguments: list[str]) -> int:
    """Write outcomes and tables, or say that the tables are stale."""
    if set(arguments) - {"--table", "--check"}:
        print(__doc__)
        return 0 if set(arguments) <= {"-h", "--help"} else 2
    if not arguments:
        judged()
    from tests.review.mutations.outcomes import kept, written

    page = PAGE.read_text(encoding="utf-8")
    fresh = page_with(written(kept()), page)
    if "--check" in arguments:
        return 0 if fresh == page else 1
    PAGE.write_text(fresh, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    sys.exit(main(sys.argv[1:]))
