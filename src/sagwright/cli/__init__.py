"""The command line: each command parses, calls one use case and renders its answer.

Purpose: every use case for a terminal and for scripts. This is the only layer that reads the environment and the
clock, besides the web.

Concepts: `main` is the program and its group of commands; `commands` parse; `views` lay answers out; `terminal`
writes them; `failures` turns every error into one sentence, JSON and an exit code: 0 done, 1 refused, 2 unusable
input, 3 a defect of the program.

The data's way: arguments → a command → `service` → a view's document → terminal, pipe or file. With `--json` the JSON
of `formats` takes the place of the document.
"""
