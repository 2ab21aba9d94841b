"""Written -> Circuit: every statement is taken in, then the nets are joined and the whole is looked over."""

from pedalwright.circuit.circuit import Circuit
from pedalwright.notation.draft import Draft
from pedalwright.notation.joining import join_up
from pedalwright.notation.limits import MOST_PARTS
from pedalwright.notation.notebook import Notebook
from pedalwright.notation.understand_accepts import take_assent
from pedalwright.notation.understand_controls import take_control
from pedalwright.notation.understand_headings import take_heading, take_point
from pedalwright.notation.understand_parts import take_part
from pedalwright.notation.understand_ports import take_port
from pedalwright.notation.understand_walks import take_walk
from pedalwright.notation.understand_wants import take_wish
from pedalwright.notation.written import Assent, Command, Heading, Point, Walk, Wish, Written, WrittenLine

_COMMANDS = {
    "supply": take_port,
    "input": take_port,
    "output": take_port,
    "part": take_part,
    "knob": take_control,
    "trim": take_control,
    "switch": take_control,
}


def understand(written: Written, notebook: Notebook) -> Circuit | None:
    """The circuit a text describes, or None when the notebook holds mistakes."""
    draft = Draft(notebook)
    for line in written.lines:
        take_line(draft, line)
    return finish(draft)


def finish(draft: Draft) -> Circuit | None:
    """The circuit of everything taken in, or None when the notebook holds mistakes."""
    notebook = draft.notebook
    if len(draft.parts) > MOST_PARTS:
        last = list(draft.parts.values())[MOST_PARTS]
        notebook.mistake(
            "text.too-many-parts",
            last.span,
            f"The text has {len(draft.parts)} parts.",
            f"At most {MOST_PARTS} are read; a pedal has a few dozen.",
            "Split it into several pedals.",
        )
        return None
    circuit = join_up(draft)
    if circuit is None or circuit.parts:
        return circuit
    notebook.mistake(
        "text.empty",
        None,
        "There is no part in this text.",
        "A circuit is made of walks through parts.",
        "Write at least one walk: IN > C1 100n > R1 10k > gnd",
    )
    return None


def take_line(draft: Draft, line: WrittenLine) -> None:
    """Take one line in; after a mistake nothing is said elsewhere about parts this line may have named."""
    mistakes = draft.notebook.mistakes
    _take_statement(draft, line)
    if not line.readable or draft.notebook.mistakes > mistakes:
        draft.doubtful.update(_may_have_declared(line))


def _take_statement(draft: Draft, line: WrittenLine) -> None:
    match line.statement:
        case Walk() as walk:
            take_walk(draft, line, walk)
        case Command() as command:
            _COMMANDS[command.keyword.text](draft, line, command)
        case Heading() as heading:
            take_heading(draft, line, heading)
        case Point() as point:
            take_point(draft, line, point)
        case Wish() as wish:
            take_wish(draft, line, wish)
        case Assent() as assent:
            take_assent(draft, line, assent)
        case None:
            pass


def _may_have_declared(line: WrittenLine) -> set[str]:
    """The names a line that cannot be used may have declared parts by."""
    match line.statement:
        case Walk(stops):
            return {item.name.text for stop in stops for item in stop if item.value or item.notes}
        case Command() | None:
            body = line.text.split("#", 1)[0].replace("=", " ").replace(">", " ")
            return {word.strip(",;:()") for word in body.split()}
        case _:
            return set()
