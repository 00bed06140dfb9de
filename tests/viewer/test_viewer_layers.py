"""Scenes as napari layers and back, with napari's own model and no display."""

from __future__ import annotations

import numpy as np
import pytest
from small_scenes import LIFTED

from glaze.errors import InputError
from glaze.scene.file import scene_text
from viewer.core.keep import open_any
from viewer.core.napari_layers import (
    FULL,
    as_objects,
    lay_region,
    layers_of,
    region_from_layer,
    sitting_from_layers,
    take_masks,
)


@pytest.fixture
def sitting(scene_folder):
    found = open_any(scene_folder(LIFTED))
    found.finish()
    yield found
    found.close()


@pytest.fixture
def model(sitting):
    napari = pytest.importorskip("napari")
    from napari.components import ViewerModel

    model = ViewerModel()
    for layer in layers_of(sitting):
        model.add_layer(napari.layers.Layer.create(*layer))
    return model


def test_a_scene_gives_its_sketch_its_picture_and_a_hidden_mask_for_each_step(model):
    kinds = [type(layer).__name__ for layer in model.layers]
    assert kinds == ["Image", "Image", "Labels", "Labels", "Labels", "Labels"]
    assert [layer.name for layer in model.layers[2:]] == [
        "1 yellow",
        "2 shadow",
        "3 light",
        "4 over it",
    ]
    assert [layer.visible for layer in model.layers] == [False, True, *[False] * 4]
    assert all(layer.editable for layer in model.layers[2:])


def test_layers_lie_in_mm_from_the_corner_of_the_sheet(model, sitting):
    sheet = model.layers["sheet"]
    # the outer corners of the first and the last pixel
    assert sheet.data_to_world((-0.5, -0.5)) == pytest.approx((0, 0), abs=1e-9)
    rows, columns = sitting.painting.shape
    width, height = sitting.size_mm
    assert sheet.data_to_world((rows - 0.5, columns - 0.5)) == pytest.approx((height, width))


def test_a_scene_comes_back_from_its_layers_as_it_was(model, sitting):
    again = sitting_from_layers(list(model.layers))
    again.finish()
    assert scene_text(again.scene) == scene_text(sitting.scene)
    assert np.array_equal(again.preview.pyramid.levels[0], sitting.preview.pyramid.levels[0])
    again.close()


def test_what_is_painted_on_a_mask_in_napari_is_read_back(model, sitting):
    layer = model.layers["2 shadow"]
    layer.selected_label = FULL
    layer.brush_size = 30
    layer.paint((95, 40), FULL)
    assert take_masks(sitting, model.layers) == ["shadow"]
    sitting.finish()
    region = sitting.scene.steps[1].region
    assert sitting.masks[region][95, 40] == FULL
    assert np.array_equal(sitting.masks[region], layer.data)
    assert take_masks(sitting, model.layers) == []
    # label 1 is whole film as well, not a 65535th of it
    layer.paint((30, 40), 1)
    assert take_masks(sitting, model.layers) == ["shadow"]
    assert sitting.masks[region][30, 40] == FULL
    assert sitting.take_back() == "mask of shadow"


def test_a_labels_layer_can_become_a_region(model, sitting):
    labels = model.add_labels(np.zeros(sitting.painting.shape, np.uint8), name="a leaf")
    labels.data[20:60, 30:80] = 3
    name = region_from_layer(sitting, labels)
    assert name == "a leaf"
    assert sitting.masks[name][30, 40] == FULL
    assert name in sitting.lean.scene.regions  # saved before a step lies on it
    lay_region(sitting, name)
    sitting.finish()
    assert sitting.scene.steps[-1].region == "a leaf"


def test_a_shapes_layer_can_become_a_region_in_its_true_place(model, sitting):
    # a rectangle of 10 x 8 mm, an ellipse, both in mm as napari has them: (row, column)
    shapes = model.add_shapes(
        [[[4, 4], [4, 14], [12, 14], [12, 4]], [[16, 16], [16, 28], [26, 28], [26, 16]]],
        shape_type=["rectangle", "ellipse"],
        name="cut",
    )
    mask = sitting.masks[region_from_layer(sitting, shapes)]
    per_mm = sitting.painting.dpi / 25.4
    area_mm2 = mask.sum() / FULL / per_mm**2
    assert area_mm2 == pytest.approx(10 * 8 + np.pi * 6 * 5, rel=0.01)
    assert mask[round(8 * per_mm), round(9 * per_mm)] == FULL
    assert mask[round(21 * per_mm), round(22 * per_mm)] == FULL
    assert mask[round(16.5 * per_mm), round(16.5 * per_mm)] == 0


def test_layers_that_cannot_be_regions_are_told_in_words(model, sitting):
    with pytest.raises(InputError, match="Labels or a Shapes"):
        region_from_layer(sitting, model.layers["sketch"])
    with pytest.raises(InputError, match="empty"):
        region_from_layer(sitting, model.add_labels(np.zeros(sitting.painting.shape, np.uint8)))
    with pytest.raises(InputError, match="sheet's size"):
        region_from_layer(sitting, model.add_labels(np.ones((30, 30), np.uint8)))
    with pytest.raises(InputError, match="None of the layers"):
        sitting_from_layers([])


def test_layer_data_as_a_writer_gets_it_holds_the_scene(sitting):
    again = sitting_from_layers(as_objects(layers_of(sitting)))
    assert scene_text(again.scene) == scene_text(sitting.scene)
    again.close()


def test_adding_a_mask_layer_twelve_times_leaves_the_sheet_alone(model, sitting):
    before = model.layers["sheet"].data.copy()
    for _ in range(12):
        layer = model.add_labels(np.zeros(sitting.painting.shape, np.uint8))
        model.layers.remove(layer)
    assert np.array_equal(model.layers["sheet"].data, before)
