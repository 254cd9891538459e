"""``callout bench reports``: makes the reports from an invented year, and pictures of them."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click

from callout.app.reports.debriefing import report_on
from callout.app.reports.journals import JournalFacts, read_folder
from callout.app.reports.trending import trends_of
from callout.app.shared.safety import SAFETY
from callout.bench.year import make_year
from callout.core.debrief.facts import SessionFact
from callout.core.debrief.rates import SessionChoice
from callout.core.sentences.commands import benches as sentences
from callout.errors import CalloutError
from callout.reporting.page import debrief_page
from callout.reporting.trend_page import trends_page

PICTURES = Path(__file__).parent / "pictures"
WIDTH = 1000
SESSIONS = 900
_ENOUGH = 8
"""Items that make a timeline worth a picture."""
_BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@dataclass(frozen=True, slots=True)
class ReportShot:
    """One picture of one page."""

    page: str
    name: str
    height: int
    dark: bool = False


SHOTS = (
    ReportShot("debrief", "debrief", 1330),
    ReportShot("trends", "trends", 1150, dark=True),
)


@click.command("reports", short_help=sentences.BENCH_REPORTS)
@click.option("--into", type=click.Path(path_type=Path), required=True, help=sentences.REPORTS_INTO)
@click.option("--pictures", type=click.Path(path_type=Path), default=PICTURES, show_default=True)
def command(into: Path, pictures: Path) -> None:
    """Make a debrief and trends from an invented year into INTO, and pictures of them.

    Pictures need Chromium; a page printed as PDF goes beside each page.
    """
    into.mkdir(parents=True, exist_ok=True)
    pages = make_pages(into)
    for path in pages.values():
        click.echo(path)
    browser = next(filter(None, map(shutil.which, _BROWSERS)), None)
    if browser is None:
        raise CalloutError(sentences.PICTURES_NEED_CHROMIUM, "Run: apt-get install chromium")
    for path in taken_pictures(browser, pages, pictures):
        click.echo(path)


def make_pages(into: Path) -> dict[str, Path]:
    """Write the pages and return where each is; the same on every run."""
    pages = {name: into / f"{name}.html" for name in ("debrief", "trends")}
    with tempfile.TemporaryDirectory() as folder:
        year = make_year(Path(folder), seed=11, sessions=SESSIONS)
        known = read_folder(year.folder)
        session = telling_session(known)
        report = report_on(session.session_id, year.folder)
        pages["debrief"].write_text(debrief_page(report, SAFETY), encoding="utf-8")
        trends = trends_of(known, SessionChoice(person=session.person))
        pages["trends"].write_text(trends_page(trends, SAFETY), encoding="utf-8")
    return pages


def telling_session(known: JournalFacts) -> SessionFact:
    """Return the session of the last months that has the most to tell."""
    late = known.facts.sessions[len(known.facts.sessions) // 2 :]
    told = (s for s in late if s.items >= _ENOUGH)
    return max(told, key=lambda s: (min(s.holds, 1), _kinds(s), s.mismatches, s.session_id))


def _kinds(session: SessionFact) -> int:
    counts = (session.skipped, session.mismatches, session.fast, session.deferred, session.unclear)
    return sum(count > 0 for count in counts)


def taken_pictures(browser: str, pages: dict[str, Path], pictures: Path) -> Iterator[Path]:
    """Yield the pictures and prints as they are made."""
    pictures.mkdir(parents=True, exist_ok=True)
    for shot in SHOTS:
        path = pictures / f"{shot.name}.png"
        scheme = ["--blink-settings=preferredColorScheme=0"] if shot.dark else []
        size = f"--window-size={WIDTH},{shot.height}"
        _browse(browser, [*scheme, size, f"--screenshot={path}"], pages[shot.page])
        yield path
    for page in pages.values():
        path = page.with_suffix(".pdf")
        _browse(browser, ["--no-pdf-header-footer", f"--print-to-pdf={path}"], page)
        yield path


def _browse(browser: str, wanted: list[str], page: Path) -> None:
    usual = ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"]
    done = subprocess.run(
        [browser, *usual, *wanted, page.resolve().as_uri()],
        capture_output=True,
        check=False,
        timeout=120,
    )
    if done.returncode:
        raise CalloutError(
            sentences.browser_could_not_open(browser, page), done.stderr.decode()[-200:]
        )
