"""Circuits of every sort, and texts gone wrong: each that can be read gets a document that agrees with it."""

from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.notation import examine, read_text
from pedalwright.report.html_page import html_page
from pedalwright.report.pack.assembling import BuildDocument, build_document, html_document
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.lint import disagreements
from pedalwright.report.pack.parts_csv import parts_csv
from pedalwright.report.pack.texts import texts
from tests.fuzz.spoiling import spoiled
from tests.fuzz.texts import TEXTS

from .packs import printed

CIRCUITS = Path(__file__).resolve().parents[2] / "circuits"
FILES = sorted(path for folder in ("odd", "blind", "unseen") for path in (CIRCUITS / folder).glob("*.pedal"))
ALL_TEXTS = (*TEXTS, *map(circuits.text, circuits.names()))
FAST_SPOILED, SLOW_SPOILED = 50, 250


def documented(text: str) -> BuildDocument | None:
    """The document of a text, printed and held against its circuit; None for one that cannot be read."""
    circuit = examine(text).circuit
    if circuit is None:
        return None
    dossier = Dossier(Analysis(circuit, text))
    made = build_document(dossier)
    assert disagreements(made, circuit, parts_csv(dossier)) == ()
    assert printed(made).startswith(b"%PDF")
    assert html_page(html_document(made)).endswith("</html>\n")
    return made


def test_spoiled_texts_that_can_be_read_are_documented() -> None:
    made = [documented(spoiled(ALL_TEXTS, seed)) for seed in range(FAST_SPOILED)]
    assert sum(one is not None for one in made) >= 5


@pytest.mark.slow
def test_more_spoiled_texts_are_documented() -> None:
    made = [documented(spoiled(ALL_TEXTS, seed)) for seed in range(FAST_SPOILED, SLOW_SPOILED)]
    assert sum(one is not None for one in made) >= 20


@pytest.mark.slow
@pytest.mark.parametrize("name", circuits.names())
def test_every_circuit_of_the_package_is_documented(name: str) -> None:
    assert documented(circuits.text(name)) is not None


@pytest.mark.slow
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_odd_circuit_is_documented(path: Path) -> None:
    assert documented(path.read_text(encoding="utf-8")) is not None


ODD = {
    "nothing but a part": "VIN > R1 10k > gnd\n",
    "no input": "supply V 9V wall\nV > R1 10k > A > R2 10k > gnd\noutput A 1M\n",
    "no supply": "input IN line\noutput OUT 1M\nIN > R1 10k > OUT > C1 10n > gnd\n",
    "no output": "supply V 9V wall\ninput IN pickup\nIN > C1 10n > B\nV > R1 1M > B > R2 1M > gnd\n",
    "a supply shorted": "supply V 9V wall\nV > R1 1m > gnd\n",
    "a chip without supply": (
        "input IN pickup\noutput OUT 1M\npart U1 opamp TL071 v+=VP v-=gnd\n"
        "IN > U1.non\nU1.out > U1.inv > OUT\n"
    ),
}


@pytest.mark.parametrize("text", ODD.values(), ids=list(ODD))
def test_circuits_that_lack_something_are_documented_honestly(text: str) -> None:
    made = documented(text)
    assert made is not None
    assert "parts-list" in {section.anchor for section in made.document.sections}


def test_an_amplifier_that_howls_is_not_given_gains() -> None:
    """A gain of a hundred fed back in step: no resting point holds, so no gain, no range, no setting."""
    text = (
        "supply V 9V wall\ninput IN line\noutput OUT 1M\n"
        "part U1 opamp TL071 v+=V v-=gnd\n"
        "V > R1 10k > VB > R2 10k > gnd\nVB > U1.inv\n"
        "IN > R3 10k > U1.non > R4 100k > U1.out > OUT\n"
    )
    dossier = Dossier(Analysis(read_text(text), text))
    made = build_document(dossier)
    assert disagreements(made, dossier.circuit) == ()
    said = " ".join(text for section in made.document.sections for text in texts(section))
    assert "not known" in said or "certified" in said or "switch" in said.lower()
