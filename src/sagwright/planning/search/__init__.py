"""The order of least work, proven: actions in, one order out.

`actions` says what is put in order and what an order costs; `network` turns it into bit masks; `changes` finds the
least cost and answers what a rest of the work costs at least; `idle` finds the least waiting among orders of that
cost; `least_work` walks from the first action to the last, asking the two at every place, and so names one order.
"""
