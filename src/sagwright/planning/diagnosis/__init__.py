"""Readings after the work: what each should be, and what would explain it when it is not.

Purpose: the final check. A reading off by more than two standard uncertainties of reading and prediction together
must be explained before a bike is handed over.

Concepts: `predictions` computes what the target should read, with its uncertainty; `mistakes` puts each usual mistake
(a spacer left out, a charge that was not cycled) into the setup and computes its signs like any other spring;
`explanations` holds readings against all of them and names the next reading that would tell them apart.

The data's way: target + sheet → predictions; readings → differences → mistakes that fit, most likely first.
"""
