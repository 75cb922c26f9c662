"""Answers as documents: headings, rows, tables and paragraphs, before anything is known of a terminal.

Purpose: how a plan, a curve or a job reads in text. Commands import a view when they run, so a view may import all.

Concepts: one module a subject: `plan`, `work`, `steps`, `stance`, `spring`, `curve`, `pressure`, `jobs`, `tables`;
`numbers` reads the numbers of their options.

The data's way: a domain value and a choice of units → sentences of `phrases` → blocks of `terminal.document`.
"""
