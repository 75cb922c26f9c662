"""Findings as rows, the heaviest first."""

from __future__ import annotations

from typing import Final

from sagwright.cli.document import Paragraph, Row, Rows, Tone
from sagwright.domain.finding import Finding, Severity
from sagwright.phrases import findings
from sagwright.units import Choice

SEVERITIES: Final = {Severity.REFUSE: Tone.REFUSE, Severity.ASK: Tone.ASK, Severity.NOTE: Tone.SOFT}


def findings_rows(said: tuple[Finding, ...], choice: Choice) -> Rows | Paragraph:
    """Every finding with what it is about; "None." if there is none."""
    if not said:
        return Paragraph("None.")
    return Rows(
        tuple(
            Row(
                finding.severity,
                f"{findings.sentence(finding, choice)} ({finding.field})",
                SEVERITIES[finding.severity],
            )
            for severity in Severity
            for finding in said
            if finding.severity is severity
        )
    )
