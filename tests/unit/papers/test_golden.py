"""Pages of the typeset plan against pictures kept from before (goldens of our own making, no reference).

`FIZZWRIGHT_NEW_GOLDENS=1` writes them anew; look at them before keeping them.
"""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import numpy as np

from fizzwright.papers.plan_sheet import plan_sheet
from tests.unit.papers.pages import page_pictures, read_png, write_png
from tests.unit.papers.papers_failures import made_up_failures
from tests.unit.papers.papers_plans import made_up_plan

GOLDEN = Path(__file__).parents[2] / "golden" / "papers"


def _sheet() -> bytes:
    return plan_sheet(made_up_plan(), failures=made_up_failures(), today=date(2026, 11, 24))


def test_pages_look_as_they_did(tmp_path: Path) -> None:
    pages = page_pictures(_sheet(), tmp_path)
    if os.environ.get("FIZZWRIGHT_NEW_GOLDENS"):
        for old in GOLDEN.glob("plan-*.png"):
            old.unlink()
        for number, page in enumerate(pages, 1):
            write_png(GOLDEN / f"plan-{number}.png", page)
    kept = sorted(GOLDEN.glob("plan-*.png"))
    assert len(kept) == len(pages)
    for path, page in zip(kept, pages, strict=True):
        golden = read_png(path).astype(float)
        assert golden.shape == page.shape, path.name
        apart = np.abs(golden - page)
        # Other versions of the renderer shade edges otherwise; a moved word changes far more than this.
        assert apart.mean() < 3.0, f"{path.name}: mean {apart.mean():.2f}"
        assert (apart > 96).mean() < 0.01, f"{path.name}: {(apart > 96).mean():.4f} of the dots"


def test_pages_have_white_margins(tmp_path: Path) -> None:
    for page in page_pictures(_sheet(), tmp_path):
        # 13 mm at 50 dots an inch are 25 dots.
        assert page[:, :25].min() > 245
        assert page[:, -25:].min() > 245
        assert page[:25, :].min() > 245


def test_pictures_survive_the_way_to_disk(tmp_path: Path) -> None:
    picture = np.arange(60, dtype=np.uint8).reshape(5, 12)
    write_png(tmp_path / "p.png", picture)
    assert np.array_equal(read_png(tmp_path / "p.png"), picture)
