"""The window: SHEET in the middle, ORDER to its right, TABLE below, and one line of orders above.

Everything that is done goes through the sitting; this module only joins the parts, which know
nothing of it and nothing of one another.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from qtpy.QtCore import QObject, QPointF, QTimer
from qtpy.QtWidgets import QWidget

from ..core.cards import thick_place
from ..core.keep import leave
from ..core.saying import say
from ..core.sitting import Sitting
from ..core.to_value import value_at
from ..core.tour import sketch_to_try
from ..core.views import View
from ..core.worker import Workers
from .bar import TopBar
from .caution import CautionBox
from .errands import Errands
from .foot import Foot
from .look import Wall, day, evening, register
from .mask_laying import MaskLaying
from .opening import Opening
from .order_panel import OrderPanel
from .questions import Questions
from .readiness import Readiness
from .rescue import Rescue
from .rough_box import RoughBox
from .rulers import Rulers
from .sheet_panel import SheetView
from .surround import Surround
from .table_panel import TablePanel
from .three_ways import ThreeWays
from .value_scale import ValueScale
from .versions_box import VersionsBox

TICK_MS = 16


class Desk(QObject):
    """A sitting and the window it is done in."""

    def __init__(
        self, viewer: Any, sitting: Sitting, wall: Wall | None = None, recovery: Path | None = None
    ) -> None:
        super().__init__()
        self.viewer, self.sitting = viewer, sitting
        self.closed = False
        wall = wall or day()
        viewer.theme = register(wall)  # first: the less stands in a window, the sooner it is done
        # the places
        self.sheet = SheetView(viewer, sitting, wall)
        self.order = OrderPanel(sitting, wall)
        self.table = TablePanel(sitting, wall)
        self.bar = TopBar(sitting)
        self.foot = Foot(sitting, self.table)
        self.surround = Surround(viewer, self.bar, self.foot, self.order, wall)
        self.sheet.find_canvas(self.surround.window)
        canvas = self.sheet.canvas()
        self.rulers = Rulers(canvas, self.sheet, wall) if canvas is not None else None
        self.scale = ValueScale(canvas, wall) if canvas is not None else None
        # what is asked and done beside the painting
        self.errands = Errands()
        self.opening = Opening(sitting, self.errands, self.surround)
        self.rescue = Rescue(sitting, self.errands, self.surround, recovery)
        self.questions = Questions(self.table.holding, self.errands, self.surround)
        self.three_ways = ThreeWays(sitting, self.surround)
        self.versions = VersionsBox(sitting, self.surround)
        self.rough = RoughBox(self.questions, self.sheet)
        self.masks = MaskLaying(self.errands, self.surround)
        self.caution = CautionBox(self.surround)
        self.readiness = Readiness()
        parts = self.errands, self.readiness, self.order.adviser, self.order.here
        boxes = self.three_ways, self.versions, self.rough
        self.workers = Workers(*(part.worker for part in (*parts, *boxes)))
        # joined
        self._connect()
        self._follow_signals()
        for soon in (self.order.soon, self.order.here.soon, self.table.soon):
            soon.unless = lambda: self.sheet.is_down  # all time is the pen's then
        self.show_title()
        self.timer = QTimer(self)
        self.timer.setInterval(TICK_MS)
        self.timer.timeout.connect(self.tick)
        self.timer.start()
        self.readiness.start(sitting.scene)

    # ---- the parts joined

    def _connect(self) -> None:
        brush, sheet = self.table.brush, self.sheet
        brush.way_taken.connect(sheet.set_way)
        brush.reserve_taken.connect(self._reserve)
        brush.whole_sheet.connect(self.lay_whole)
        self.table.dried.connect(self.let_dry)
        self.table.dish.caution_asked.connect(self.caution.show)
        self.table.holding.bleach_taken.connect(self.caution.first_time)
        sheet.pointed.connect(self._pointed)
        sheet.laid.connect(self._laid)
        sheet.refused.connect(self._refused)
        self.order.adviser.shown_at.connect(self._advised)
        if self.scale is not None and self.rulers is not None:
            self.scale.carried.connect(self._carried)
            self.scale.dropped.connect(self._dropped)
        self.bar.back_asked.connect(self.take_back)
        self.bar.again_asked.connect(self.do_again)
        self.bar.all_asked.connect(sheet.fit)
        self.bar.true_size_asked.connect(sheet.true_size)
        self.bar.looked.connect(self.look)
        self.masks.laid.connect(self._laid)
        self.foot.own_asked.connect(self.opening.ask_open)
        self.foot.ten_asked.connect(self.try_ten)
        self.errands.told.connect(self.tell)
        self.readiness.told.connect(self.tell)
        self.opening.opened.connect(self.follow)
        self.opening.saved.connect(self.show_title)
        self.opening.saved.connect(self.rescue.saved)
        self.rescue.recovered.connect(self.follow)

    def _follow_signals(self) -> None:
        sitting = self.sitting
        sitting.told.connect(self.tell)
        sitting.draft_changed.connect(self._changed)
        sitting.hand_changed.connect(self._hand)
        sitting.view_changed.connect(self.bar.refresh)
        sitting.view_changed.connect(self.foot.look_tour)
        sitting.versions_changed.connect(self.show_title)

    @property
    def window(self) -> QWidget:
        """napari's window."""
        return self.surround.window

    # ---- how it looks

    def show_title(self) -> None:
        """The title, and what the colours rest on."""
        title = "desk.unsaved" if self.sitting.changed else "desk.saved"
        self.viewer.title = say(title, title=self.sitting.scene.title, name=say("desk.name"))
        hows = {ink.how for ink in self.sitting.table.palette.bottles}
        inks = say("desk.and").join(say(f"desk.{how}") for how in sorted(hows))
        paper = self.sitting.painting.table.paper.name
        self.foot.stand_on(say("desk.rests", inks=inks, paper=paper), say("desk.uncalibrated"))

    def change_wall(self) -> None:
        """The light wall or the dark one."""
        wall = day() if self.surround.wall.dark else evening()
        self.surround.dress(wall)
        self.sheet.wall = wall
        self.order.change_wall(wall)
        self.table.brush.change_wall(wall)
        if self.rulers is not None:
            self.rulers.wall = wall
            self.rulers.update()

    def look(self, view: View) -> None:
        """Look at the sheet in another way."""
        self.sitting.look(view)

    def tell(self, text: str) -> None:
        """A line for the painter."""
        self.foot.tell(text)

    def _refused(self, text: str) -> None:
        """What can't be laid is said where it was tried."""
        self.tell(text)
        if self.rulers is not None:
            self.rulers.say(self.sheet.last, text)

    def _advised(self, place: tuple[float, float], text: str) -> None:
        """Advice is shown at its place."""
        if self.rulers is not None:
            self.rulers.say(place, text, mark=True)

    # ---- time

    def tick(self) -> None:
        """Draw what the pen did, take in what has been worked out."""
        self.sheet.draw_pending()
        self.sitting.tick()
        self.workers.poll()
        if self.rulers is not None:
            self.rulers.look()
        self.foot.show_progress(self.sitting.preview.share_done, self.sitting.busy)

    # ---- what happens

    def _laid(self) -> None:
        name = self.sitting.history.back_name
        self.tell(name or "")
        self.foot.look_tour()

    def _changed(self) -> None:
        self.show_title()
        self.bar.refresh()
        self.foot.look_tour()

    def _hand(self) -> None:
        self.sheet.set_way(self.sheet.way)
        self.foot.look_tour()
        self.order.here.soon()

    def _pointed(self, where: tuple[int, int] | None) -> None:
        self.order.here.where = where
        self.order.here.soon()

    def lay_whole(self) -> None:
        """Lay what is in the hand over the whole sheet."""
        self.errands.attempt(self.sheet.laying.whole_sheet)

    def _reserve(self, on: bool) -> None:
        self.sitting.reserving = on
        view = self.sitting.preview.view
        self.look(replace(view, way="reserve" if on else "as it will look"))
        if on:
            self.tell(say("desk.reserving"))

    def let_dry(self) -> None:
        """The step in hand is done; the next stroke begins a new one."""
        self.sitting.choose(None)
        self.tell(say("desk.dried"))

    def take_back(self) -> None:
        """Take the last deed back."""
        name = self.sitting.take_back()
        self.tell(say("desk.taken_back" if name else "desk.none_back", name=name))

    def do_again(self) -> None:
        """Do again what was taken back."""
        name = self.sitting.do_again()
        self.tell(say("desk.done_again" if name else "desk.none_again", name=name))

    # ---- to a value

    def _carried(self, carried: tuple[QPointF, float] | None) -> None:
        """A grey of the value scale is over the sheet: the value there is told beside it."""
        assert self.rulers is not None
        pixel = None if carried is None else self.rulers.pixel(carried[0])
        words = ""
        if pixel is not None:
            words = say("here.value_here", value=f"{value_at(self.sitting, pixel):.1f}")
        self.rulers.carry(None if carried is None else (*carried, words))

    def _dropped(self, place: QPointF, value: float) -> None:
        """It was let go there."""
        if self.rulers is not None and (pixel := self.rulers.pixel(place)) is not None:
            self.three_ways.show_for(pixel, value)

    def bring_somewhere(self) -> None:
        """The same where the pointer was last, or where the step in hand lies thickest."""
        where, number = self.order.here.where, self.sitting.chosen
        if where is None and number is not None:
            painted = self.sitting.settling.painted_step(number)
            where = None if painted is None else thick_place(painted)
        rows, columns = self.sitting.painting.shape
        self.three_ways.show_for(where or (rows // 2, columns // 2), 5.0)

    # ---- another sitting

    def try_ten(self) -> None:
        """Put a bare sketch of ours on the table, and suggest ten things to try on it."""
        if self.opening.may_leave() and self.opening.open_path(sketch_to_try()):
            self.foot.start_ten()

    def follow(self, sitting: Sitting) -> None:
        """Put another sitting on the table."""
        old, self.sitting = self.sitting, sitting
        self.caution.shown = False
        self.table.brush.reserve.setChecked(False)
        parts = self.sheet, self.order, self.table, self.bar, self.foot, self.opening, self.rescue
        for part in (*parts, self.three_ways, self.versions, self.rough):
            part.follow(sitting)
        self._follow_signals()
        self._changed()
        self.readiness.start(sitting.scene)
        leave(old)

    # ---- the end

    def close(self) -> None:
        """End the sitting in peace."""
        if self.closed:
            return
        self.closed = True
        self.timer.stop()
        self.sheet.close()
        self.readiness.close()
        self.order.adviser.rest.stop()
        self.rough.let_go()
        self.workers.close()
        self.rescue.close()
        leave(self.sitting)
