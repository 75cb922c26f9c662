"""What the rest of the work costs at least in changes of tool and position."""

from __future__ import annotations

from sagwright.planning.search.network import NONE, Network, bits


class Bound:
    """A lower bound on the changes still to be paid.

    Follow one path of the precedence graph. Between two of its actions with tool t that have an action with another
    tool between them, t must be taken up again. So along any path the take-ups of t can be counted, and the most over
    all paths is a number of times that t is taken up. Take-ups of different tools are different changes, so the
    numbers add up over the tools; a change of tool and a change of position are priced apart, so these add up too.
    What is taken up along the paths from an action does not hang on what was done before, so it is counted once, per
    action.

    `__call__` is the bound for a set of available actions and what is at hand.
    """

    def __init__(self, network: Network) -> None:
        self.network = network
        tools = _take_ups(network, network.tools, len(network.tool_names))
        positions = _take_ups(network, network.positions, len(network.position_names))
        self._fresh = [(*t[0], *p[0]) for t, p in zip(tools, positions, strict=True)]
        self._saved = [(*t[1], *p[1]) for t, p in zip(tools, positions, strict=True)]
        self._known: dict[int, tuple[int, list[int], list[int]]] = {}

    def __call__(self, available: int, tool: int, position: int) -> int:
        total, off_tool, off_position = self._known.get(available) or self._learn(available)
        return total - off_tool[tool] - off_position[position]

    def _learn(self, available: int) -> tuple[int, list[int], list[int]]:
        numbers = list(bits(available))
        fresh = _highest([self._fresh[i] for i in numbers])
        held = _highest([self._saved[i] for i in numbers])
        count = len(self.network.tool_names)
        prices = [self.network.tool_price] * count + [self.network.position_price] * (len(fresh) - count)
        off = [price * (f - h) for price, f, h in zip(prices, fresh, held, strict=True)]
        total = sum(price * f for price, f in zip(prices, fresh, strict=True))
        # index NONE is -1, the last entry: nothing at hand saves nothing
        self._known[available] = found = (total, [*off[:count], 0], [*off[count:], 0])
        return found


def _highest(rows: list[tuple[int, ...]]) -> list[int]:
    return list(map(max, *rows)) if len(rows) > 1 else [*rows[0]] if rows else []


def _take_ups(network: Network, needs: list[int], kinds: int) -> list[tuple[list[int], list[int]]]:
    """Per action and kind, the most take-ups along a path from it: when the kind is not at hand, and when it is."""
    found: list[tuple[list[int], list[int]]] = [([], []) for _ in needs]
    for i in reversed([network.number[key] for key in network.sequence]):
        rows = [found[k] for k in network.successors[i]]
        fresh = _highest([tuple(row[0]) for row in rows]) or [0] * kinds
        held = _highest([tuple(row[1]) for row in rows]) or [0] * kinds
        if needs[i] != NONE:
            own = needs[i]
            held, fresh = [*fresh[:own], held[own], *fresh[own + 1 :]], [*fresh[:own], 1 + held[own], *fresh[own + 1 :]]
        found[i] = (fresh, held)
    return found
