"""The transport solver against a general sparse solver, and places measured on two workers against one."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.current.drive import Jet, Sink, drive_for
from fizzwright.engines.current.flow import Spell, settle_flow
from fizzwright.engines.current.grid import Grid, scene_for
from fizzwright.engines.current.scalar import Solver, transport_for
from fizzwright.job.layout import OutletKind
from fizzwright.machine import cluster_mapper
from fizzwright.stages.place import Asked, Helpers, place
from tests.unit.stages.test_place import small_job

pytestmark = pytest.mark.peers


def test_scipy_solves_the_same_balance():
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import spsolve

    scene = scene_for(Grid(0.02, 12, 8, 7))
    jet = Jet(OutletKind.NOZZLE, (0.01, 0.08, 0.10), (1.0, 0.0, 0.0), 150.0, 0.31, 13.0)
    flow = settle_flow(scene, drive_for(scene, jet, Sink((0.22, 0.04, 0.03))), spell=Spell(2.0, 1.0, 1))[0]
    transport = transport_for(flow)
    loss, source = np.zeros(scene.grid.shape), np.zeros(scene.grid.shape)
    loss[-1], source[2, 3, 4] = 2e-3, 1.0
    ours = Solver(transport, loss).field(source, tolerance_frac=1e-11)
    number = np.arange(scene.grid.cells).reshape(scene.grid.shape)
    inner = (slice(1, -1),) * 3
    own = (transport.leaves[inner] + transport.filter_per_s * transport.take + loss).ravel()
    rows, columns, values = [number.ravel()], [number.ravel()], [own]
    for at in range(6):
        beside = np.roll(number, 1 if at % 2 == 0 else -1, axis=2 - at // 2)
        coefficient = transport.near[at][inner]
        kept = coefficient != 0.0
        rows.append(number[kept])
        columns.append(beside[kept])
        values.append(-coefficient[kept])
    matrix = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))).tocsr()
    loop = coo_matrix(
        np.outer(transport.filter_per_s * transport.give.ravel(), transport.take.ravel())
    ).tocsr()
    theirs = spsolve((matrix - loop).tocsc(), source.ravel()).reshape(scene.grid.shape)
    assert np.abs(ours - theirs).max() < 1e-7 * np.abs(theirs).max()


@pytest.mark.filterwarnings("ignore")
@pytest.mark.slow
def test_two_workers_give_what_one_loop_gives():
    distributed = pytest.importorskip("distributed")
    here = place(small_job(), Asked("draft"))
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        cluster_mapper(cluster.scheduler_address) as mapper,
    ):
        there = place(small_job(), Asked("draft"), Helpers(mapper=mapper))
    # Sums of vectors may be grouped otherwise there: the same to what the solver is asked for.
    assert [(p.name, p.rank) for p in there.places] == [(p.name, p.rank) for p in here.places]
    for one, two in zip(there.places, here.places, strict=True):
        assert one.dissolved_frac.value == pytest.approx(two.dissolved_frac.value, rel=1e-9)
        assert one.slowest_renewal_s.value == pytest.approx(two.slowest_renewal_s.value, rel=1e-4)
        assert one.poorest_co2_mg_l.value == pytest.approx(two.poorest_co2_mg_l.value, rel=1e-5)
