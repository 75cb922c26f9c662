"""Bikes, format bike/1: geometry, wheels, fork, tyre room and the limits of a frame.

Purpose: geometry is printed and measured in many ways; whatever is given is read, and what contradicts itself is
said.

Concepts: `shape` is the written form, `fields` its own kinds of fields (angles, tyre markings), `load` the way to the
domain, `chart` a bike as texts by path, as a form at the counter writes it.

The data's way: file or texts → shape → `domain.bike.Bike`; an intake holds a bike, or names its file.
"""
