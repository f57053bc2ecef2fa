"""A Dask worker's own process for reports, without Dask: what is left when it is gone."""

from __future__ import annotations

import shutil

import pytest

from plateline.report.cluster_hand import _Hand


@pytest.mark.parametrize("folder_too", [False, True])
def test_a_process_that_is_gone_makes_nothing_and_leaves_nothing(folder_too):
    hand = _Hand()
    hand._process.kill()
    hand._process.wait()
    if folder_too:  # its own workers remove it
        shutil.rmtree(hand.folder)
    assert hand.make("an order") is None  # pyright: ignore[reportArgumentType]
    assert hand.last_words() == "it did not say why"
    hand.dismiss()
    assert not hand.folder.exists()
