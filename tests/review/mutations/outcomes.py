"""The outcomes kept beside this file, and the tables of the manual made of them."""

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from .choosing import FIRST, SECOND, chosen, sorts
from .judging import REFUSED, Outcome

FILE = Path(__file__).with_name("outcomes.json")
SEEDS = (FIRST, SECOND)
GRAVE = ("damage", "dead", REFUSED)
Outcomes = Mapping[int, Sequence[Outcome]]


def kept() -> Outcomes:
    """What the tool wrote down last."""
    data = json.loads(FILE.read_text(encoding="utf-8"))
    return {
        int(seed): [Outcome(**{**row, "matters": tuple(row["matters"])}) for row in rows]
        for seed, rows in data.items()
    }


def keep(outcomes: Outcomes) -> None:
    """Write them down, one line each."""
    rows = {
        seed: ",\n".join(f"  {json.dumps(_row(one), ensure_ascii=False)}" for one in ones)
        for seed, ones in outcomes.items()
    }
    text = ",\n".join(f' "{seed}": [\n{written}\n ]' for seed, written in rows.items())
    FILE.write_text(f"{{\n{text}\n}}\n", encoding="utf-8")


def _row(one: Outcome) -> Mapping[str, object]:
    return {
        "key": one.key,
        "matters": list(one.matters),
        "by": one.by,
        "gravity": one.gravity,
        "blamed": one.blamed,
    }


def sort_of(one: Outcome) -> str:
    """The sort of mistake, from the key."""
    return one.key.split(" | ")[1]


def share(part: int, whole: int) -> str:
    """So many of so many, as a percentage."""
    return f"{100 * part / whole:.0f} %" if whole else "-"


def mattering(ones: Iterable[Outcome]) -> list[Outcome]:
    """Those that matter."""
    return [one for one in ones if one.matters]


def written(outcomes: Outcomes) -> str:
    """The tables as Markdown: by sort, in sum, and what was missed."""
    return "\n\n".join((_sums(outcomes), _by_sort(outcomes), *_missed(outcomes)))


def _sums(outcomes: Outcomes) -> str:
    rows = ["| | first hundred | second hundred |", "|---|---:|---:|"]
    counts = {seed: _count(ones) for seed, ones in outcomes.items()}
    rows += [f"| {name} | {first} | {counts[SECOND][name]} |" for name, first in counts[FIRST].items()]
    return "\n".join(rows)


def _count(ones: Sequence[Outcome]) -> Mapping[str, str]:
    heavy = mattering(ones)
    caught = [one for one in heavy if one.is_caught]
    return {
        "matter": f"{len(heavy)}",
        "caught": f"{len(caught)} ({share(len(caught), len(heavy))})",
        "of these as something that will be damaged or will not work": f"{_grave(caught)}",
        "of these when the text is read": f"{sum(one.gravity in (REFUSED, 'remark') for one in caught)}",
        "of these with the very part named": f"{sum(one.blamed == 'part' for one in caught)}",
        "seen, but something else blamed": f"{sum(one.blamed == 'elsewhere' for one in heavy)}",
        "nothing new said": f"{sum(not one.blamed for one in heavy)}",
        "do not matter": f"{len(ones) - len(heavy)}",
        "of these spoken about": f"{sum(one.is_caught for one in ones if not one.matters)}",
        "of these as something that will be damaged or will not work, though they do not matter": (
            f"{_grave([one for one in ones if not one.matters])}"
        ),
    }


def _grave(ones: Iterable[Outcome]) -> int:
    return sum(one.gravity in GRAVE for one in ones)


def _by_sort(outcomes: Outcomes) -> str:
    rows = [
        "| mistake | matter | caught | part named | matter | caught | part named |",
        "|---|---:|---:|---:|---:|---:|---:|",
    ]
    for sort in sorted(sorts()):
        cells = [cell for seed in SEEDS for cell in _cells(sort, outcomes[seed])]
        rows.append(f"| {sort} | {' | '.join(cells)} |")
    cells = [cell for seed in SEEDS for cell in _cells("", outcomes[seed])]
    rows.append(f"| all | {' | '.join(cells)} |")
    return "\n".join(rows)


def _cells(sort: str, ones: Sequence[Outcome]) -> tuple[str, str, str]:
    heavy = [one for one in mattering(ones) if sort in ("", sort_of(one))]
    caught = [one for one in heavy if one.is_caught]
    named = [one for one in caught if one.blamed == "part"]
    return str(len(heavy)), str(len(caught)), str(len(named))


def _missed(outcomes: Outcomes) -> Iterable[str]:
    names = {FIRST: "first", SECOND: "second"}
    for seed, ones in outcomes.items():
        missed = [one for one in mattering(ones) if not one.is_caught]
        yield f"Not caught of the {names[seed]} hundred:"
        rows = ["| circuit | mistake | why it matters | what is said |", "|---|---|---|---|"]
        rows += [_missed_row(one) for one in missed]
        yield "\n".join(rows)


def _missed_row(one: Outcome) -> str:
    name, _, place = one.key.split(" | ")
    said = f"{one.by} of something else" if one.by else "nothing new"
    return f"| {name} | {place} | {one.matters[0]} | {said} |"


def all_chosen() -> Mapping[int, tuple[str, ...]]:
    """The keys of both hundreds as they are chosen now."""
    return {seed: tuple(one.key for one in chosen(seed)) for seed in SEEDS}
