"""``supply``, ``input`` and ``output``: where the circuit meets the world."""

from pedalwright.circuit.ports import SignalInput, SignalOutput, Supply
from pedalwright.circuit.span import Span
from pedalwright.devices.sources import source_figures
from pedalwright.notation.arguments import (
    arguments_of,
    enough_words,
    known_word,
    node,
    read_above_zero,
    read_value,
    refuse_others,
    usable_name,
)
from pedalwright.notation.draft import Draft, DraftPort
from pedalwright.notation.words import GROUND_SPELLINGS
from pedalwright.notation.written import Command, Word, WrittenLine
from pedalwright.units.values import Quantity

SUPPLY_SOURCES = ("wall", "battery")
MOST_VOLTS = 120.0
"""Upper limit of extra-low voltage, ripple-free DC: IEC 61140 (from memory)."""
INPUT_SOURCES = ("pickup", "buffered", "line")


def take_port(draft: Draft, line: WrittenLine, command: Command) -> None:
    """Keep a supply, the input or the output."""
    if not refuse_others(draft, line, command):
        return
    match command.keyword.text:
        case "supply":
            _take_supply(draft, line, command)
        case "input":
            _take_input(draft, line, command)
        case _:
            _take_output(draft, line, command)


def _take_supply(draft: Draft, line: WrittenLine, command: Command) -> None:
    if not enough_words(draft, line, command, ("net", "voltage", "source"), 4):
        return
    net, volts_word, source, *stated = arguments_of(command).words
    if not _can_be_net(draft, line, net):
        return
    volts = read_value(draft.notebook, line.span(volts_word), volts_word.text, Quantity.VOLTAGE)
    known = known_word(draft, line, source, SUPPLY_SOURCES, "supply.source", "a source of supply")
    if volts is None or not known:
        return
    if volts == 0:
        draft.notebook.mistake(
            "value.not-above-zero",
            line.span(volts_word),
            "A supply of 0 V feeds nothing.",
            "The net would be ground.",
            "Write its voltage, such as 9V.",
        )
        return
    if abs(volts) > MOST_VOLTS:
        draft.notebook.mistake(
            "supply.volts",
            line.span(volts_word),
            f"{volts_word.text} is no voltage for a pedal.",
            f"Above {MOST_VOLTS:g} V DC a touch can hurt or kill; such circuits are not worked out here.",
            "Write the voltage of the supply, such as 9V.",
        )
        return
    limits = _stated_range(draft, line, stated[0], volts) if stated else (volts, volts)
    if limits is not None:
        span = line.span(command.keyword, stated[0] if stated else source)
        supply = Supply(
            net=net.text, volts=volts, source=source.text, low_v=limits[0], high_v=limits[1], span=span
        )
        draft.ports.append(DraftPort(node=node(line, net), what=supply))


def _can_be_net(draft: Draft, line: WrittenLine, net: Word) -> bool:
    """False, with the mistake noted, for a number in the place of a net: the words are in the wrong order."""
    if not net.text[0].isdigit() or net.text.lower() in GROUND_SPELLINGS:
        return True
    return usable_name(draft.notebook, line.span(net), net.text, "a net", "VIN")


def _stated_range(draft: Draft, line: WrittenLine, word: Word, volts: float) -> tuple[float, float] | None:
    low_text, dots, high_text = word.text.partition("..")
    if not (low_text and dots and high_text):
        draft.notebook.mistake(
            "supply.range",
            line.span(word),
            f"{word.text} is not a range of voltages.",
            "After the source stands, if anything, the range the supply is expected in.",
            "Write it without spaces: 7V..9.6V",
        )
        return None
    low = read_value(draft.notebook, line.span(word), low_text, Quantity.VOLTAGE)
    high = read_value(draft.notebook, line.span(word), high_text, Quantity.VOLTAGE)
    if low is None or high is None:
        return None
    if not low <= volts <= high:
        draft.notebook.mistake(
            "supply.range",
            line.span(word),
            f"{volts:g} V does not lie in {word.text}.",
            "The range holds the nominal voltage, the lower end first.",
            "Write for instance 9V wall 8.5V..9.6V",
        )
        return None
    return low, high


def _take_input(draft: Draft, line: WrittenLine, command: Command) -> None:
    if not enough_words(
        draft, line, command, ("net", "source (pickup, buffered, line, or ohms and a level)"), 3
    ):
        return
    net, source, *level = arguments_of(command).words
    if not _can_be_net(draft, line, net):
        return
    figures = (
        _own_figures(draft, line, source, level[0]) if level else _named_figures(draft, line, net, source)
    )
    if figures is None:
        return
    ohms, level_v = figures
    port = SignalInput(
        net=net.text,
        source="custom" if level else source.text,
        ohms=ohms,
        level_v=level_v,
        span=line.span(command.keyword, level[0] if level else source),
    )
    _keep(draft, line, net, port)


def _named_figures(draft: Draft, line: WrittenLine, net: Word, source: Word) -> tuple[float, float] | None:
    """Resistance [ohm] and peak level [V] of a source known by name; None with the mistake noted."""
    if source.text[0].isdigit():
        draft.notebook.mistake(
            "statement.incomplete",
            Span(line.number, source.end, source.end + 1),
            "The level is missing.",
            "A source given by its resistance also needs the peak voltage it is expected to reach.",
            f"Write it as, for instance: input {net.text} {source.text} 1V",
        )
        return None
    if not known_word(draft, line, source, INPUT_SOURCES, "input.source", "a known source of signal"):
        return None
    figures = source_figures(source.text)
    return figures.ohms, figures.level_v


def _own_figures(draft: Draft, line: WrittenLine, source: Word, level: Word) -> tuple[float, float] | None:
    """Resistance [ohm] and peak level [V] as written; None with the mistake noted."""
    if source.text in INPUT_SOURCES:
        draft.notebook.mistake(
            "statement.extra-word",
            line.span(level),
            f"{source.text} has its own level.",
            "A source known by name brings its resistance and level with it.",
            "Leave the level away, or write both as numbers: input IN 10k 1V",
        )
        return None
    ohms = read_value(draft.notebook, line.span(source), source.text, Quantity.RESISTANCE)
    level_v = read_above_zero(draft.notebook, line.span(level), level.text, Quantity.VOLTAGE)
    return None if ohms is None or level_v is None else (ohms, level_v)


def _take_output(draft: Draft, line: WrittenLine, command: Command) -> None:
    if not enough_words(draft, line, command, ("net", "load in ohms"), 2):
        return
    net, load = arguments_of(command).words
    if not _can_be_net(draft, line, net):
        return
    ohms = read_above_zero(draft.notebook, line.span(load), load.text, Quantity.RESISTANCE)
    if ohms is not None:
        span = line.span(command.keyword, load)
        _keep(draft, line, net, SignalOutput(net=net.text, ohms=ohms, span=span))


def _keep(draft: Draft, line: WrittenLine, net: Word, port: SignalInput | SignalOutput) -> None:
    """Keep the input or output; a second one is a mistake."""
    word = "input" if isinstance(port, SignalInput) else "output"
    earlier = next((kept.what.span for kept in draft.ports if type(kept.what) is type(port)), None)
    if earlier is None:
        draft.ports.append(DraftPort(node=node(line, net), what=port))
        return
    draft.notebook.mistake(
        f"{word}.twice",
        Span(line.number, port.span.column, port.span.end_column),
        f"There is an {word} already, in line {earlier.line}.",
        "A pedal is worked out from one input to one output.",
        "Delete one of the two lines, or make it: point NET text",
    )
