"""What every page and form is built from.

Purpose: the ways of the web in one place, so that a page is about its subject.

Concepts: `request` gives a view what was asked, with records, clock and ids; `form` and `number_field` read what was
typed and keep it with its unit; `page` frames a page and renders it; `preferences` is what a browser remembers;
`dates` writes times; `error_pages` turns an error into a page; `guard` answers only names of this machine, and forms
only from our own pages.

The data's way: Starlette's request → `Asked` → a view → a page or a redirect.
"""
