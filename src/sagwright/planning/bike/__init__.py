"""The bike round the fork: how it stands, what the fork carries, whether the tyre clears, what the frame permits.

Purpose: a change of travel changes angles and heights, and may bring the tyre to the crown; a technician sees it
before the work.

Concepts: `geometry` turns measured lengths and angles into a frame; `stance` stands it on its wheels, with sag or
without; `fork_load` finds the load on the fork, which needs the stance, which needs the load; `clearance` follows the
tyre to full compression; `frame_limits` holds travel, length and mass against what the maker permits; `report` is all
of it for a plan.

The data's way: `Bike` + travel and sag before and after → two stances, a load with its uncertainty, findings.
"""
