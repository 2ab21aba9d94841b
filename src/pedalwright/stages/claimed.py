"""What a recogniser is given to look at."""

from dataclasses import dataclass

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.packages import is_unused
from pedalwright.stages.view import View


@dataclass(frozen=True)
class Claimed:
    """The bench, and the parts that earlier kinds have taken: a recogniser proposes only what is free."""

    bench: Bench
    taken: frozenset[str]

    @property
    def view(self) -> View:
        """The circuit as recognisers see it."""
        return self.bench.view

    @property
    def classes(self) -> NetClasses:
        """Which nets stand still."""
        return self.bench.classes

    def free(self, ref: str) -> bool:
        """True when no earlier kind has taken the part."""
        return ref not in self.taken

    def all_free(self, branch: Branch) -> bool:
        """True when no part of a branch is taken."""
        return all(self.free(leaf.ref) for leaf in branch.leaves())

    def free_on(self, net: str) -> tuple[Leaf, ...]:
        """The two-terminal parts on a net that are still free."""
        return tuple(leaf for leaf in self.view.on(net) if self.free(leaf.ref))

    def networks(self) -> tuple[AmplifierNetwork, ...]:
        """The networks of free amplifier sections; unused ones and the echo chip's coder and decoder are
        left out.

        Where transistors close the loop, the net they drive stands as the output; where a small resistor lies
        inside the loop, the net behind it.
        """
        return tuple(
            self.bench.loops[ref]
            for ref, network in self.bench.networks.items()
            if self.free(network.amplifier.ref)
            and network.amplifier.role not in ("coder", "decoder")
            and not is_unused(self.view, network.amplifier)
        )
