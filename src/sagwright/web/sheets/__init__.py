"""Spec sheets on pages: all of them, one with its revisions, editing, and measuring a unit that has none.

Purpose: a workshop keeps its own sheets beside the shipped ones.

Concepts: `catalogue` lists sheets and shows what a revision changed; `sheet` shows one; `edit` checks a sheet as it
is written; `measure` asks for what can be measured on a unit, and `measurements` reads it.

The data's way: `service.sheets` → page; text or measurements → a checked sheet → a new revision.
"""
