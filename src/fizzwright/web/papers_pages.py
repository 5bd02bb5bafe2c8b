"""The papers of one tank: what can be printed and taken away."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from fizzwright.web.site import page, site_of

__all__ = ["papers", "plan_pdf"]


def papers(request: Request) -> Response:
    """What there is to print and to take away."""
    workshop = site_of(request).workshop
    kept = workshop.kept(request.path_params["slug"])
    job = workshop.job(kept)
    values = {
        "slug": kept.slug,
        "name": job.job.name,
        "stage": "papers",
        "revision": kept.revision_count,
        "plan": workshop.planned(kept).plan,
        "units": job.job.units,
        "readings_count": len(workshop.readings(kept.slug)),
    }
    return page(request, "papers.html", values)


def plan_pdf(request: Request) -> Response:
    """The plan sheet as a PDF."""
    workshop = site_of(request).workshop
    kept = workshop.kept(request.path_params["slug"])
    name = f'inline; filename="{kept.slug}-plan.pdf"'
    content = workshop.plan_sheet(kept)
    return Response(content, media_type="application/pdf", headers={"content-disposition": name})
