"""The order of least work, proven: actions in, one order out.

Purpose: changing tools and turning the unit costs time, and so does waiting; of all orders that the needs allow, one
with the least of both is found, and it is known to be the least.

Concepts: `problem` says what is put in order and what an order costs, and turns it into bit masks; `changeovers`
finds the least price of changes of tool and position, and answers what a rest of the work costs at least; `waiting`
finds the least waiting among orders of that price; `least_work` walks from the first action to the last, asking the
two at every place, and so names one order. The docstring of `changeovers` proves what may always be done at once.

The data's way: steps, needs and prices → an order with its cost and the bound that proves it. A limit on effort may
end a search early; then the answer says that it is not proven. `tests/reference/` tries every order of small
problems.
"""
