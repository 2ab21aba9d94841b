"""The whole drawing of a circuit: its stages in rows, proved; and a plain layout for what cannot be."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from pedalwright.analysis.memo import Analysis
from pedalwright.report.drawing.dots import dots_of
from pedalwright.report.drawing.layout.block import Block
from pedalwright.report.drawing.layout.pen import Pen, union
from pedalwright.report.drawing.layout.planner import NoPicture
from pedalwright.report.drawing.layout.strand import Wiring
from pedalwright.report.drawing.membership import Membership
from pedalwright.report.drawing.overlap import clashes
from pedalwright.report.drawing.proof import DrawingProof, circuit_pins, prove_drawing
from pedalwright.report.drawing.rows import WIDEST, Composer, Picture
from pedalwright.report.drawing.safe import safe_block, safe_stage
from pedalwright.report.drawing.sheet import Sheet
from pedalwright.report.drawing.shelves import Headed, shelved
from pedalwright.report.drawing.standing import Standing
from pedalwright.report.drawing.symbols.shape import IEC
from pedalwright.report.drawing.templates._family import block_of, ends_of_stage
from pedalwright.report.drawing.templates.template import Ends, Situation
from pedalwright.report.drawing.units import PORT, SUPPLY_PINS, Unit, units_of
from pedalwright.stages.recognise import kind_named
from pedalwright.stages.stage import Stage

SUPPLY_HEADING, SIGNAL_HEADING, REST_HEADING = "Supply", "Signal path", "Sockets, switches and the rest"
CHIPS_HEADING = "Supply pins"


class UnprovedDrawing(Exception):
    """Not even the plain layout could be proved: a mistake in Pedalwright's own files."""


def schematic(
    analysis: Analysis, *, symbols: str = IEC, stage: str | None = None, widest: int = WIDEST
) -> Sheet:
    """The drawing of a circuit, or of one stage of it by name (``S3``), proved equal to the circuit.

    `symbols` is ``iec`` or ``american``; rows are wrapped at `widest` steps of the grid, ten pixels each,
    where a single stage does not need more.

    Raises KeyError for a stage that does not exist, and UnprovedDrawing should even the plain layout fail.
    """
    desk = _Desk(analysis, symbols, widest)
    units = desk.units if stage is None else desk.members[stage]
    wanted = {(unit.part, pin): net for unit in units for _, pin, net in unit.pins}
    if stage is None:
        wanted = circuit_pins(analysis.circuit)
    sheet = replace(desk.sheet(desk.groups() if stage is None else desk.one_stage(stage)), stage=stage or "")
    if _proved(sheet, wanted).holds:
        return sheet
    sheet = replace(desk.sheet(desk.plain_groups(units)), safe=True, stage=stage or "")
    if not (proof := _proved(sheet, wanted)).holds:
        raise UnprovedDrawing(proof.faults[0])
    return sheet


def proof_of(analysis: Analysis, sheet: Sheet) -> DrawingProof:
    """The nets read back from a sheet and compared with those of the circuit; of a sheet that shows one
    stage, with those of its pins.
    """
    wanted = circuit_pins(analysis.circuit)
    if sheet.stage:
        shown = {(one.part, pin) for one in sheet.placed for pin, _ in one.pins}
        wanted = {pin: net for pin, net in wanted.items() if pin in shown}
    return _proved(sheet, wanted)


def _proved(sheet: Sheet, wanted: Mapping[tuple[str, str], str]) -> DrawingProof:
    return prove_drawing(sheet.placed, sheet.wires, sheet.dots, sheet.flags, wanted)


@dataclass
class _Desk:
    """Everything one drawing is made from."""

    analysis: Analysis
    style: str
    widest: int = WIDEST

    def __post_init__(self) -> None:
        self.standing = Standing(self.analysis)
        self.units = units_of(self.analysis.circuit, set(self.analysis.stages.roles))
        self.wiring = Wiring(self.units)
        self.membership = Membership(self.analysis.stages, self.units, self.wiring)
        self.members = self.membership.members
        self.plain: list[str] = []

    def groups(self) -> list[tuple[str, list[Picture]]]:
        """Headings with their pictures in order."""
        path = self.analysis.path
        main = [*self._ports("input"), *path.main, *self._ports("output")]
        found = [
            (SUPPLY_HEADING, self._pictures([*self._ports("supply"), *path.supply], linked=True)),
            (SIGNAL_HEADING, self._pictures(main)),
        ]
        found += [(chain.title, self._pictures(chain.stages, linked=True)) for chain in path.chains]
        chips = [unit for unit in self.units if unit.form == SUPPLY_PINS]
        found.append((CHIPS_HEADING, [self._plain(unit) for unit in chips]))
        found.append((REST_HEADING, [self._plain(unit) for unit in self.membership.homeless]))
        return [(heading, pictures) for heading, pictures in found if pictures]

    def one_stage(self, name: str) -> list[tuple[str, list[Picture]]]:
        """One stage alone."""
        return [("", self._pictures([name]))]

    def plain_groups(self, units: Sequence[Unit]) -> list[tuple[str, list[Picture]]]:
        """Every unit by itself, a flag at each of its pins."""
        return [("", [self._plain(unit) for unit in units])]

    def _ports(self, which: str) -> list[str]:
        return [unit.name for unit in self.units if unit.form == PORT and unit.says.startswith(which)]

    def _pictures(self, names: Iterable[str], *, linked: bool = False) -> list[Picture]:
        """Ports and stages in order; `linked` lets a stage that goes on from the last one's way out come
        first.
        """
        by_name = {unit.name: unit for unit in self.units}
        pictures: list[Picture] = []
        left = [name for name in names if name in by_name or self.members[name]]
        while left:
            open_net = pictures[-1].block.right.net if pictures and not pictures[-1].block.right.ended else ""
            name = self._following(left, open_net) if linked else left[0]
            left.remove(name)
            if name in by_name:
                pictures.append(self._port(by_name[name], facing_left=name == "port/output"))
            else:
                pictures.append(self._stage(self.analysis.stages.stage(name), open_net))
        return pictures

    def _following(self, names: Sequence[str], open_net: str) -> str:
        """Of the stages that begin on the open net, one that lets it pass by comes first."""
        going_on = ""
        for name in names:
            ends = self._ends(name, open_net) if open_net and name in self.members else None
            if ends is not None and ends.start == open_net:
                if ends.goal is None:
                    return name
                going_on = going_on or name
        return going_on or names[0]

    def _ends(self, name: str, open_net: str) -> Ends:
        return ends_of_stage(self._situation(self.analysis.stages.stage(name), open_net))

    def _situation(self, stage: Stage, open_net: str) -> Situation:
        return Situation(
            stage=stage,
            units=self.members[stage.name],
            wiring=self.wiring,
            standing=self.standing,
            open_net=open_net,
            style=self.style,
        )

    def _stage(self, stage: Stage, open_net: str) -> Picture:
        """The stage's picture; when it cannot be proved or something overlaps, its parts one by one."""
        units = self.members[stage.name]
        block = self._drawn(stage, open_net)
        if block is None or not self._is_sound(block, units):
            self.plain.append(stage.name)
            block = safe_stage(units, self.standing, self.wiring, self.style)
        title = kind_named(stage.kind).title
        return Picture(stage=stage.name, kind=stage.kind, title=title, block=block)

    def _drawn(self, stage: Stage, open_net: str) -> Block | None:
        try:
            return block_of(self._situation(stage, open_net))
        except NoPicture:
            return None

    def _is_sound(self, block: Block, units: Sequence[Unit]) -> bool:
        pen = block.pen
        wanted = {(unit.part, pin): net for unit in units for _, pin, net in unit.pins}
        flags = [*pen.flags]
        ends = Pen(self.standing)
        for terminal in (block.left, block.right):
            if not terminal.ended:
                ends.flag(terminal.net, terminal.inner or terminal.at, "up")
        flags += ends.flags
        dots = dots_of(pen.placed, pen.wires, flags)
        proof = prove_drawing(pen.placed, pen.wires, dots, flags, wanted)
        return proof.holds and not clashes(pen.placed, pen.wires, pen.flags, pen.labels)

    def _port(self, unit: Unit, *, facing_left: bool) -> Picture:
        from pedalwright.report.drawing.ports import port_block

        block = port_block(unit, self.standing, self.style, facing_left=facing_left)
        return Picture(stage="", kind="port", title="", block=block)

    def _plain(self, unit: Unit) -> Picture:
        block = safe_block(unit, self.standing, self.wiring, self.style)
        return Picture(stage="", kind="part", title="", block=block)

    def sheet(self, groups: Sequence[tuple[str, list[Picture]]]) -> Sheet:
        """Rows composed, dots set, everything frozen."""
        composer = Composer(self.standing, self.wiring.pin_count, self.widest)
        rows = [
            Headed(heading if place == 0 else "", row)
            for heading, pictures in groups
            for place, row in enumerate(composer.rows(pictures))
        ]
        pen = Pen(self.standing)
        frames, titles = shelved(rows, pen, self.widest)
        labels = (*pen.labels, *titles)
        dots = dots_of(pen.placed, pen.wires, pen.flags)
        area = union([*pen.boxes(), *(item.box for item in titles)])
        return Sheet(
            title=self.analysis.circuit.title,
            symbols_style=self.style,
            placed=tuple(pen.placed),
            wires=tuple(pen.wires),
            dots=dots,
            flags=tuple(pen.flags),
            labels=labels,
            frames=tuple(frames),
            box=area,
            points=tuple((point.net, point.text) for point in self.analysis.circuit.points),
            plain_stages=tuple(self.plain),
        )
