"""Which nodes are one net: a disjoint-set forest over node keys (a net's name, or ``U1.a.inv`` for a pin)."""


class Nets:
    """Joins nodes; a node can be held at a potential (ground, a supply), and two held ones must not meet."""

    def __init__(self) -> None:
        self._parent: dict[str, str] = {}
        self._held: dict[str, str] = {}

    def __contains__(self, key: str) -> bool:
        return key in self._parent

    def root(self, key: str) -> str:
        """The node that stands for the whole net; a new node is a net of its own."""
        parent = self._parent
        parent.setdefault(key, key)
        while parent[key] != key:
            parent[key] = parent[parent[key]]
            key = parent[key]
        return key

    def hold(self, key: str, what: str) -> str | None:
        """Say that something holds this node's potential; returns what holds it already, if anything."""
        root = self.root(key)
        if root in self._held:
            return self._held[root]
        self._held[root] = what
        return None

    def holder(self, key: str) -> str | None:
        """What holds the net of this node, if anything does."""
        return self._held.get(self.root(key))

    def join(self, a: str, b: str) -> tuple[str, str] | None:
        """Make two nodes one net; in a short circuit they stay apart and what holds each is returned."""
        kept, lost = self.root(a), self.root(b)
        if kept == lost:
            return None
        if kept in self._held and lost in self._held:
            return self._held[kept], self._held[lost]
        self._parent[lost] = kept
        if lost in self._held:
            self._held[kept] = self._held.pop(lost)
        return None
