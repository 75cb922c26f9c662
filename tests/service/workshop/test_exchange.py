"""Export → import → export is the same bytes, on either database and across."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sagwright.errors import OutOfRange, SagwrightError, StoreFailed, UnreadableFile
from sagwright.service.jobs.queries import board, search_jobs
from sagwright.service.workshop.maintenance import export_csv, export_json, exported, import_workshop
from sagwright.service.workshop.records import open_workshop
from sagwright.store.rows import TABLES, counts_of
from sagwright.store.tables import METADATA
from sagwright.store.workshop import Store
from tests.support.full_workshop import NASTY, fill
from tests.support.postgresql import Server


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A full workshop in a file; opened for reading only."""
    path = tmp_path_factory.mktemp("full") / "full.sqlite"
    with open_workshop(path) as store:
        fill(store)
    return path


def folder_bytes(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_every_table_is_exported_and_has_something_in_it(full: Path) -> None:
    assert {one.name for one in TABLES} == METADATA.tables.keys()
    with open_workshop(full) as store, store.reading() as transaction:
        assert all(counts_of(transaction).values())


def test_json_there_and_back_is_the_same_bytes(full: Path, store: Store, tmp_path: Path) -> None:
    with open_workshop(full) as source:
        export_json(source, tmp_path / "one.json")
        customers = [card.customer_name for card in board(source)]
    import_workshop(store, tmp_path / "one.json")
    export_json(store, tmp_path / "two.json")
    assert (tmp_path / "one.json").read_bytes() == (tmp_path / "two.json").read_bytes()
    assert [card.customer_name for card in board(store)] == customers
    assert set(NASTY[:-1]) <= set(customers)
    assert search_jobs(store, "🚲🔧")


def test_csv_there_and_back_is_the_same_bytes(full: Path, store: Store, tmp_path: Path) -> None:
    with open_workshop(full) as source:
        export_csv(source, tmp_path / "one")
        before = "".join(exported(source))
    import_workshop(store, tmp_path / "one")
    export_csv(store, tmp_path / "two")
    assert folder_bytes(tmp_path / "one") == folder_bytes(tmp_path / "two")
    assert "".join(exported(store)) == before


def test_from_postgresql_to_a_file(full: Path, postgresql: Server, tmp_path: Path) -> None:
    with open_workshop(full) as source:
        export_json(source, tmp_path / "one.json")
    with open_workshop(postgresql.new_database()) as middle, open_workshop(tmp_path / "new.sqlite") as last:
        import_workshop(middle, tmp_path / "one.json")
        export_csv(middle, tmp_path / "middle")
        import_workshop(last, tmp_path / "middle")
        assert "".join(exported(last)) == (tmp_path / "one.json").read_text("utf-8")


def test_a_document_laid_out_otherwise_reads_the_same(full: Path, tmp_path: Path) -> None:
    import json

    with open_workshop(full) as source:
        text = "".join(exported(source))
    (tmp_path / "pretty.json").write_text(json.dumps(json.loads(text), indent=4), "utf-8")
    with open_workshop(tmp_path / "new.sqlite") as last:
        import_workshop(last, tmp_path / "pretty.json")
        assert "".join(exported(last)) == text


def test_what_is_there_already_is_not_written_over(full: Path, tmp_path: Path) -> None:
    with open_workshop(full) as source:
        export_json(source, tmp_path / "one.json")
        with pytest.raises(OutOfRange, match="must not be there yet"):
            export_json(source, tmp_path / "one.json")
        with pytest.raises(StoreFailed, match="records here already"):
            import_workshop(source, tmp_path / "one.json")


@pytest.mark.parametrize(
    ("spoil", "error", "says"),
    [
        (lambda text: text[: len(text) // 2], UnreadableFile, "whole JSON document"),
        (lambda text: text.replace('"note":"lowers"', '"note":"uppers"'), UnreadableFile, "unchanged"),
        (lambda text: text.replace("workshop/1", "workshop/2"), UnreadableFile, "newer program"),
        (lambda text: text.replace("workshop/1", "plan/1"), UnreadableFile, "sagwright export"),
        (lambda text: text.replace('"ordinal":2,', '"ordinal":"2",', 1), OutOfRange, "entries, row 2"),
        (lambda text: text.replace('"retired":', '"tired":', 1), OutOfRange, "instruments, row 1"),
        (lambda text: text.replace('"serial":"0417"', '"serial":"a\\u0000"', 1), OutOfRange, "units, row 1"),
        (lambda _: "[1, 2]", UnreadableFile, "whole JSON document"),
        (lambda _: "", UnreadableFile, "whole JSON document"),
    ],
)
def test_what_is_not_an_untouched_export_is_refused_and_nothing_imported(
    full: Path, tmp_path: Path, spoil: Callable[[str], str], error: type[SagwrightError], says: str
) -> None:
    with open_workshop(full) as source:
        text = "".join(exported(source))
    spoiled = spoil(text)
    assert spoiled != text
    (tmp_path / "bad.json").write_text(spoiled, "utf-8")
    with open_workshop(tmp_path / "new.sqlite") as last:
        with pytest.raises(error, match=says):
            import_workshop(last, tmp_path / "bad.json")
        with last.reading() as transaction:
            assert not any(counts_of(transaction).values())


@pytest.mark.parametrize(
    ("name", "edit", "says"),
    [
        ("entries.csv", ("lowers", "uppers"), "unchanged"),
        ("entries.csv", ("id,job", "job,id"), "must have the columns"),
        ("jobs.csv", (",1001,", ",none,"), "a value in every column"),
        ("workshop.json", ("workshop/1", "workshop/9"), "newer program"),
    ],
)
def test_a_changed_folder_is_refused(full: Path, tmp_path: Path, name: str, edit: tuple[str, str], says: str) -> None:
    with open_workshop(full) as source:
        export_csv(source, tmp_path / "one")
    path = tmp_path / "one" / name
    old, new = (text.encode() for text in edit)
    assert old in path.read_bytes()
    path.write_bytes(path.read_bytes().replace(old, new))
    with open_workshop(tmp_path / "new.sqlite") as last, pytest.raises(UnreadableFile, match=says):
        import_workshop(last, tmp_path / "one")


def test_a_missing_file_and_an_empty_folder_are_told(tmp_path: Path) -> None:
    with open_workshop(tmp_path / "new.sqlite") as last:
        with pytest.raises(UnreadableFile, match="No such file"):
            import_workshop(last, tmp_path / "none.json")
        with pytest.raises(UnreadableFile, match=r"workshop\.json"):
            import_workshop(last, tmp_path)


def test_nothing_is_left_behind_where_an_export_fails(full: Path, tmp_path: Path) -> None:
    def stop(_done: int, _all: int) -> None:
        raise KeyboardInterrupt

    with open_workshop(full) as source, pytest.raises(KeyboardInterrupt):
        export_json(source, tmp_path / "one.json", tell=stop)
    assert not list(tmp_path.iterdir())
