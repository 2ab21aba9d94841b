"""The signal map laid out: the path from jack to jack in the first row, each chain beside it in one of its
own.

Neighbours on one net are joined by a straight arrow. Every other way leaves its block downward, runs in a
lane of its own under the row, if need be up or down in a column of its own at the left, and comes in from
below; into the first block of a row it comes in from the left.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil

from pedalwright.analysis.memo import Analysis
from pedalwright.report.drawing.layout.pen import union
from pedalwright.report.drawing.metrics import label, shortened, text_width
from pedalwright.report.drawing.rows import title_lines
from pedalwright.report.drawing.sheet import Box, Label, Place
from pedalwright.report.drawing.signal_map.figures import Figures
from pedalwright.stages.recognise import kind_named
from pedalwright.stages.stage import Stage

INPUT, OUTPUT = "input", "output"
TITLE_SIZE, SIZE = 1.1, 0.95
LINE = 1.35
ARROW, WIDEST = 9, 150
LANE = 1.5
LONGEST = 34


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One block of the map: a stage by its name, or one of the jacks."""

    name: str
    kind: str
    box: Box
    texts: tuple[Label, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """The way of a signal from block to block, through points; `back` when it closes a loop."""

    net: str
    start: str
    end: str
    points: tuple[Place, ...]
    back: bool


@dataclass(frozen=True, kw_only=True)
class SignalMap:
    """The whole map."""

    title: str
    stations: tuple[Station, ...]
    arrows: tuple[Arrow, ...]
    labels: tuple[Label, ...]
    box: Box


def signal_map(analysis: Analysis) -> SignalMap:
    """The map of a circuit: every stage that leads a signal on, and every way between them."""
    return _Sheet(analysis).map()


@dataclass
class _Row:
    names: list[str]
    heading: str
    lanes: int = 0
    y: float = 0.0
    height: float = 4.0


@dataclass
class _Sheet:
    analysis: Analysis
    boxes: dict[str, Box] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.figures = Figures(self.analysis)
        stages = self.analysis.stages.stages
        self.leading = {stage.name: stage for stage in stages if stage.inputs and stage.output}
        self.texts = {name: self._texts(name) for name in (INPUT, *self.leading, OUTPUT)}

    def map(self) -> SignalMap:
        rows = self._rows()
        edges = self._edges(rows)
        self._place(rows, edges)
        arrows = tuple(self._arrows(rows, edges))
        labels = [*self._headings(rows), *self._levels(edges)]
        stations = tuple(self._station(name) for row in rows for name in row.names)
        corners = [Box(x, y, x, y) for arrow in arrows for x, y in arrow.points]
        area = union([*(one.box for one in stations), *(item.box for item in labels), *corners])
        return SignalMap(
            title=self.analysis.circuit.title,
            stations=stations,
            arrows=arrows,
            labels=tuple(labels),
            box=area,
        )

    def _rows(self) -> list[_Row]:
        """The path from jack to jack, then the chains; long ones go on in the next row."""
        path = self.analysis.path
        main = [name for name in path.main if name in self.leading]
        jacks = self.analysis.circuit
        first = [INPUT] if jacks.input is not None else []
        last = [OUTPUT] if jacks.output is not None else []
        groups = [("Signal path", [*first, *main, *last])]
        groups += [
            (chain.title, self._along([name for name in chain.stages if name in self.leading]))
            for chain in path.chains
        ]
        supplied = [name for name in path.supply if name in self.leading]
        groups.append(("Beside the path", supplied))
        return [row for heading, names in groups if names for row in self._wrapped(heading, names)]

    def _along(self, names: Sequence[str]) -> list[str]:
        """Stages so that each, where it can, stands right behind one that it takes its signal from."""
        left, found = list(names), list[str]()
        while left:
            made = {self.leading[name].output for name in left}
            last = self.leading[found[-1]].output if found else ""
            ready = [name for name in left if last in self.leading[name].inputs]
            ready = [name for name in ready if not made & {*self.leading[name].inputs}]
            found.append((ready or left)[0])
            left.remove(found[-1])
        return found

    def _wrapped(self, heading: str, names: Sequence[str]) -> Iterable[_Row]:
        row, x = _Row([], heading), 0.0
        for name in names:
            width = self._width(name)
            if row.names and x + width > WIDEST:
                yield row
                row, x = _Row([], ""), 0.0
            row.names.append(name)
            x += width + ARROW
        yield row

    def _edges(self, rows: Sequence[_Row]) -> list[tuple[str, str, str]]:
        """(net, from block, to block) of every way of the signal."""
        view, names = self.analysis.view, [name for row in rows for name in row.names]
        makers: dict[str, list[str]] = {}
        for name in names:
            for net in self._made(name):
                makers.setdefault(net, []).append(name)
        edges = []
        for name in names:
            wanted = [view.output_net] if name == OUTPUT else list(self._taken(name))
            edges += [(net, maker, name) for net in wanted for maker in makers.get(net, ()) if maker != name]
        return edges

    def _made(self, name: str) -> tuple[str, ...]:
        if name == INPUT:
            return (self.analysis.view.input_net,)
        return () if name == OUTPUT else (self.leading[name].output,)

    def _taken(self, name: str) -> tuple[str, ...]:
        return () if name == INPUT else tuple(dict.fromkeys(self.leading[name].inputs))

    # Places.

    def _place(self, rows: Sequence[_Row], edges: Sequence[tuple[str, str, str]]) -> None:
        order = {name: row for row in rows for name in row.names}
        far = [edge for edge in edges if not self._is_straight(order, edge)]
        self.columns = {edge: 1.2 * (place + 1) for place, edge in enumerate(far)}
        left = ceil(1.2 * (len(far) + 1)) + 2
        y = 0.0
        for row in rows:
            row.y = y + (3.2 if row.heading else 1.2)
            row.height = max(self._height(name) for name in row.names)
            x = float(left)
            for name in row.names:
                width = self._width(name)
                self.boxes[name] = Box(x, row.y, x + width, row.y + row.height)
                x += width + ARROW
            lanes = [e for e in far if order[e[1]] is row or order[e[2]] is row]
            row.lanes = len(lanes)
            y = row.y + row.height + LANE * (row.lanes + 1)

    def _is_straight(self, order: Mapping[str, _Row], edge: tuple[str, str, str]) -> bool:
        _, start, end = edge
        names = order[start].names
        return order[end] is order[start] and names.index(end) == names.index(start) + 1

    def _arrows(self, rows: Sequence[_Row], edges: Sequence[tuple[str, str, str]]) -> Iterable[Arrow]:
        order = {name: row for row in rows for name in row.names}
        used = {id(row): 0 for row in rows}
        entered: dict[str, int] = {}
        places = {name: place for place, name in enumerate(name for row in rows for name in row.names)}
        for edge in edges:
            net, start, end = edge
            a, b = self.boxes[start], self.boxes[end]
            out = (a.right + ARROW / 2, (a.top + a.bottom) / 2)
            begin = (a.right, out[1])
            if self._is_straight(order, edge):
                points: tuple[Place, ...] = (begin, (b.left, out[1]))
            else:
                points = (begin, out, *self._round(edge, order, used, entered, out))
            back = self._in_loop(start, end) and places[end] <= places[start]
            yield Arrow(net=net, start=start, end=end, points=points, back=back)

    def _round(
        self,
        edge: tuple[str, str, str],
        order: Mapping[str, _Row],
        used: dict[int, int],
        entered: dict[str, int],
        out: Place,
    ) -> list[Place]:
        """The way round: down to a lane, along, up or down a column at the left, and in."""
        _, start, end = edge
        b, row, goal = self.boxes[end], order[start], order[end]
        column = self.columns[edge]

        def lane(of: _Row) -> float:
            used[id(of)] += 1
            return of.y + of.height + LANE * used[id(of)]

        y = lane(row)
        if goal.names[0] == end:
            middle = (b.top + b.bottom) / 2
            return [(out[0], y), (column, y), (column, middle), (b.left, middle)]
        entered[end] = entered.get(end, 0) + 1
        x = b.left + 1.5 * entered[end]
        if goal is row:
            return [(out[0], y), (x, y), (x, b.bottom)]
        other = lane(goal)
        return [(out[0], y), (column, y), (column, other), (x, other), (x, b.bottom)]

    def _in_loop(self, start: str, end: str) -> bool:
        return any(start in loop and end in loop for loop in self.analysis.path.loops)

    # Texts.

    def _texts(self, name: str) -> list[tuple[str, str]]:
        """(text, kind) of a block's lines."""
        circuit = self.analysis.circuit
        if name == INPUT:
            return [("Input", "title"), (circuit.input.source if circuit.input else "", "value")]
        if name == OUTPUT:
            return [("Output", "title")]
        stage = self.leading[name]
        lines = [(line, "title") for line in title_lines(kind_named(stage.kind).title)]
        device = _device(stage)
        lines += [(device, "name")] if device else []
        return lines + [(shortened(line, LONGEST), "value") for line in self.figures.lines(stage)]

    def _width(self, name: str) -> int:
        widths = [
            text_width(text, TITLE_SIZE if kind == "title" else SIZE, bold=kind != "value")
            for text, kind in self.texts[name]
        ]
        return ceil(max(widths) + 1.6)

    def _height(self, name: str) -> float:
        return LINE * len(self.texts[name]) + 1.2

    def _station(self, name: str) -> Station:
        box, lines = self.boxes[name], self.texts[name]
        middle, first = (box.left + box.right) / 2, (box.top + box.bottom) / 2 - LINE * (len(lines) - 1) / 2
        texts = tuple(
            label(
                text,
                middle,
                first + LINE * place,
                anchor="middle",
                size=TITLE_SIZE if kind == "title" else SIZE,
                kind=kind,
                owner=name,
            )
            for place, (text, kind) in enumerate(lines)
            if text
        )
        kind = name if name in (INPUT, OUTPUT) else self.leading[name].kind
        return Station(name=name, kind=kind, box=box, texts=texts)

    def _headings(self, rows: Sequence[_Row]) -> Iterable[Label]:
        for row in rows:
            if row.heading:
                x = self.boxes[row.names[0]].left
                yield label(row.heading, x, row.y - 1.4, anchor="start", size=1.4, kind="title", owner="")

    def _levels(self, edges: Sequence[tuple[str, str, str]]) -> Iterable[Label]:
        """The level on the arrow out of every block that has one."""
        for net, start in dict.fromkeys((net, start) for net, start, _ in edges):
            box, text = self.boxes[start], self.figures.level(net)
            if text:
                x, y = box.right + 0.4, (box.top + box.bottom) / 2 - 0.75
                yield label(text, x, y, anchor="start", size=SIZE, kind="level", owner=net)


def _device(stage: Stage) -> str:
    """The amplifier, transistor or chip a stage is built around."""
    refs = [role.ref for role in stage.roles if role.ref[:1] in ("U", "Q")]
    return refs[0].partition("/")[0] if refs else ""
