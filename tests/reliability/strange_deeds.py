"""A stranger's deeds at the window: of a painter at work, and others that nobody means."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from qtpy.QtCore import QPoint, Qt
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QAbstractButton, QApplication, QDialog, QWidget

from tests.reliability.stranger import LEFT, RIGHT, TYPED, Hand
from tests.reliability.window_holds import Holds
from tests.viewer import at_work
from tests.viewer.at_work import AtWork
from viewer.core.keep import open_any
from viewer.window.language import speak_as_asked

SIZES = (1100, 700), (1280, 800), (1280, 800), (1480, 900), (1600, 1000)
MIDDLE = Qt.MouseButton.MiddleButton
BARE, CONTROL = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier
SHIFT, ALT = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier
HELD = BARE, BARE, BARE, CONTROL, CONTROL, SHIFT, CONTROL | SHIFT, ALT
KEYS = [ord(key) for key in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789[]/.,-"]
NAMED = [
    *(Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Delete, Qt.Key.Key_Space),
    *(Qt.Key.Key_Backspace, Qt.Key.Key_F2, Qt.Key.Key_Up, Qt.Key.Key_Left, Qt.Key.Key_Home),
]
QUITS = {(ord(key), CONTROL) for key in "QW"}
"""Keys that close a window; pressed where the window is to stay."""


class Stranger(AtWork):
    """Somebody who has never seen the window, and tries everything."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder = folder
        super().__init__(folder, open_any(folder / "scene"), seed)
        del self.desk.opening.may_leave  # asked as everybody is
        self.hand = Hand(self.draw, folder)
        self.holds = Holds(self)

    @property
    def window(self) -> QWidget:
        return self.desk.window

    def do_one(self) -> str:
        if self.draw.random() < 0.35 and self.on_own_sheet:
            return super().do_one()
        name = self.draw.choices(list(STRANGE), weights=list(STRANGE.values()))[0]
        getattr(self, name)()
        QApplication.processEvents()
        self.names[name] = self.names.get(name, 0) + 1
        return name

    @property
    def on_own_sheet(self) -> bool:
        """Whether the deeds of a painter at work fit the sheet that is on the table."""
        wide, high = at_work.SHEET_MM
        return all(abs(a - b) < 1 for a, b in zip(self.sitting.size_mm, (wide, high), strict=True))

    def place(self) -> tuple[float, float]:
        """Anywhere on the sheet, or a little beside it [mm]."""
        wide, high = self.sitting.size_mm
        return self.draw.uniform(-0.05, 1.05) * wide, self.draw.uniform(-0.05, 1.05) * high

    def boxes(self) -> list[QDialog]:
        """Small windows that stand open."""
        tops = QApplication.topLevelWidgets()
        return [top for top in tops if isinstance(top, QDialog) and top.isVisible()]

    # ---- strange deeds

    def use_anything(self) -> None:
        """Any control of bar, order or table."""
        desk = self.desk
        self.hand.use(self.draw.choice([desk.bar, desk.order, desk.table, desk.table, desk.foot]))

    def use_a_box(self) -> None:
        """Any control of a small window that stands open."""
        boxes = [
            w for w in QApplication.topLevelWidgets() if isinstance(w, QDialog) and w.isVisible()
        ]
        if boxes:
            self.hand.use(self.draw.choice(boxes))
        else:
            self.order_of_a_menu()

    def order_of_a_menu(self) -> None:
        """A menu opened, and what comes."""
        menus = self.desk.bar.menus.values()
        buttons = [b for b in self.hand.reachable(self.desk.bar, QAbstractButton)
                   if getattr(b, "menu", lambda: None)() in menus]  # fmt: skip
        if buttons:
            self.hand.click(self.draw.choice(buttons))

    def keys(self) -> None:
        """Keys, some of them with others held."""
        if self.draw.random() < 0.7:
            self.desk.sheet.canvas().setFocus()
        for _ in range(self.draw.randint(1, 4)):
            held, named = self.draw.choice(HELD), self.draw.random() < 0.25
            key = self.draw.choice(NAMED if named else KEYS)
            if (key, held) in QUITS:
                continue
            self.hand.key(self.window, key, held)

    def mouse(self) -> None:
        """Any button anywhere in the window: clicks, double clicks, drags."""
        where = self.draw.choice([self.desk.sheet.canvas(), self.desk.sheet.canvas(), self.window])
        size = where.size()
        start, end = (QPoint(self.draw.randrange(size.width()), self.draw.randrange(size.height()))
                      for _ in range(2))  # fmt: skip
        child = self.window.childAt(where.mapTo(self.window, start))
        if child is None or self.holds.of_napari(child):
            return
        button = self.draw.choice([LEFT, LEFT, RIGHT, MIDDLE])
        if self.draw.random() < 0.5:
            self.hand.click(where, button, start, twice=self.draw.random() < 0.4)
        elif child is self.desk.sheet.canvas():
            self.hand.drag(where, start, end, button)

    def ways(self) -> None:
        """Any way to lay, with any liquid, over any places."""
        brush = self.desk.table.brush
        self.desk.table.holding.take_kind(self.draw.choice(["wash", "wash", "lift", "water lift"]))
        brush.take_way(self.draw.choice(list(brush.way_buttons)))
        self.drag(*[self.place() for _ in range(self.draw.randint(2, 4))])
        if self.draw.random() < 0.3:
            self.hand.click(self.desk.sheet.canvas(), twice=True, at=self.at(*self.place()))

    def keys_in_a_stroke(self) -> None:
        """Keys pressed while the pen is down."""
        canvas = self.desk.sheet.canvas()
        start, end = (self.at(*self.place()) for _ in range(2))
        QTest.mousePress(canvas, LEFT, BARE, start)
        QTest.mouseMove(canvas, end)
        self.keys()
        QTest.mouseRelease(canvas, LEFT, BARE, end)

    def storm(self) -> None:
        """Deeds taken back and done again faster than they can be worked out."""
        for _ in range(self.draw.randint(5, 25)):
            self.press(self.draw.choice([Qt.Key.Key_Z, Qt.Key.Key_Z, Qt.Key.Key_Y]),
                       Qt.KeyboardModifier.ControlModifier)  # fmt: skip

    def card(self) -> None:
        """A step's own menu, its dot, or its name."""
        cards = self.desk.order.cards
        if cards.count() == 0:
            return
        item = cards.item(self.draw.randrange(cards.count()))
        cards.scrollToItem(item)
        seen = cards.visualItemRect(item)
        row = cards.viewport()
        what = self.draw.random()
        if what < 0.3:
            self.hand.click(row, RIGHT, seen.center())
            cards.customContextMenuRequested.emit(seen.center())
        elif what < 0.6:
            self.hand.click(row, LEFT, seen.topLeft() + QPoint(13, 26))
        else:
            self.hand.click(row, LEFT, seen.topLeft() + QPoint(120, 12), twice=True)
            if (line := QApplication.focusWidget()) is not None and line is not self.window:
                self.hand.letters(line, self.draw.choice(TYPED))
                QTest.keyClick(line, self.draw.choice([Qt.Key.Key_Return, Qt.Key.Key_Escape]))

    def advice(self) -> None:
        """The adviser asked, its place and its cure taken."""
        adviser = self.desk.order.adviser
        adviser.ask()
        if self.draw.random() < 0.5:
            self.rest()
        if adviser.list.count():
            adviser.list.setCurrentRow(self.draw.randrange(adviser.list.count()))
            if cures := self.hand.reachable(adviser, QAbstractButton):
                self.hand.click(self.draw.choice(cures))

    def to_a_value(self) -> None:
        """A grey of the scale dragged onto the sheet, and one of three ways taken."""
        scale = self.desk.scale
        start = QPoint(scale.width() // 2, self.draw.randrange(max(1, scale.height())))
        self.hand.drag(
            scale, start, scale.mapFrom(self.desk.sheet.canvas(), self.at(*self.place()))
        )
        if self.draw.random() < 0.6:
            self.desk.three_ways.worker.finish()
            QApplication.processEvents()
        if self.desk.three_ways.isVisible():
            self.hand.use(self.desk.three_ways)

    def resize(self) -> None:
        """Another size of the window."""
        self.window.resize(*self.draw.choice(SIZES))

    def wheel(self) -> None:
        """Nearer, farther, elsewhere."""
        camera = self.viewer.scene.camera
        camera.zoom = camera.zoom * self.draw.choice([0.2, 0.7, 1.5, 6])
        if self.draw.random() < 0.5:
            self.press(Qt.Key.Key_F)

    def hold(self) -> None:
        """B or G held over some other deed."""
        key = self.draw.choice([Qt.Key.Key_B, Qt.Key.Key_G])
        self.desk.sheet.canvas().setFocus()
        QTest.keyPress(self.window.windowHandle(), key)
        if self.draw.random() < 0.6:
            self.draw.choice([self.go_on, self.keys, self.use_anything])()
        QTest.keyRelease(self.window.windowHandle(), key)

    def edited_outside(self) -> None:
        """The scene's file changed by somebody else."""
        home = self.sitting.home
        if home is not None and home.is_dir() and home.is_relative_to(self.folder):
            file = home / "scene.toml"
            file.write_text(file.read_text(encoding="utf-8") + "\n", encoding="utf-8")
            self.desk.opening.look_at_home()

    def stay(self) -> None:
        """The window closed, by the mouse or by keys, and thought better of."""
        if self.sitting.changed:
            keys = self.draw.choice([None, *sorted(QUITS)])
            close = (
                self.window.close if keys is None else partial(self.hand.key, self.window, *keys)
            )
            self.hand.without_answers(close)
            if self.desk.closed or not self.window.isVisible():
                self.hand.faults.append("the window is gone though it was to stay")

    def anew(self) -> None:
        """The window closed and opened again, in the language that was chosen in it."""
        self.settle_boxes()
        size = self.window.size()
        self.close()
        speak_as_asked()
        hand, names, holds = self.hand, self.names, self.holds
        draw = self.draw
        super().__init__(self.folder, open_any(self.folder / "scene"))
        del self.desk.opening.may_leave
        self.draw, self.hand, self.names, self.holds = draw, hand, names, holds
        self.window.resize(size)
        self.holds.begin()

    def settle_boxes(self) -> None:
        """Let what is still on its way come, and close small windows."""
        while self.desk.workers.busy:
            self.rest(0.02)
        for box in self.boxes():
            box.close()
        QApplication.processEvents()


STRANGE: dict[str, float] = {
    "use_anything": 7, "use_a_box": 3, "order_of_a_menu": 3, "keys": 5, "mouse": 5, "ways": 3,
    "storm": 2, "card": 4, "advice": 1, "to_a_value": 1.5, "resize": 1, "wheel": 1, "hold": 1.5,
    "edited_outside": 0.4, "keys_in_a_stroke": 1.5, "stay": 0.6, "anew": 0.5,
}  # fmt: skip
