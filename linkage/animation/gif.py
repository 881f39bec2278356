"""Frames as one GIF with a palette that all frames share.

Each frame holds only the box in which it differs from the one before, and of
this only what differs: the rest is marked as see-through and packs well.

Not here: the frames (`picture`).
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Final

import numpy as np
from PIL import GifImagePlugin, Image

from linkage.animation.picture import frames

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from linkage.animation.picture import Pixels, Progress
    from linkage.animation.scene import Scene
    from linkage.animation.schedule import Schedule

    Indices = NDArray[np.uint8]

#: Colours of the palette; the last of it means unchanged.
COLOURS: Final = 63
#: Bits of each of red, green and blue by which colours are told apart.
BITS: Final = 5


class Palette:
    """A palette for frames that look alike.

    Parameters
    ----------
    samples : sequence of ndarray, shape (height, width, 3)
        A few of the frames.

    Attributes
    ----------
    colours : ndarray, shape (COLOURS, 3)
        Of the samples: common ones, and rare ones that nothing else comes near.
    """

    def __init__(self, samples: Sequence[Pixels]) -> None:
        pixels = np.vstack([sample.reshape(-1, 3) for sample in samples])
        codes, first, counts = np.unique(
            _codes(pixels), return_index=True, return_counts=True
        )
        common = _chosen(pixels[first].astype(float), counts)
        self.colours = pixels[first[common]].astype(np.uint8)
        self.colours.flags.writeable = False
        self._index = self._nearest(codes, common)

    def _nearest(self, codes: NDArray[np.int64], common: NDArray[np.int64]) -> Indices:
        """Return the palette's number for every colour that there can be."""
        every = np.arange(1 << (3 * BITS))
        parts = np.stack(
            [(every >> shift) & ((1 << BITS) - 1) for shift in (2 * BITS, BITS, 0)],
            axis=1,
        )
        middle = ((parts + 0.5) * (1 << (8 - BITS))).astype(np.float32)
        chosen = self.colours.astype(np.float32)
        gap = (
            (middle**2).sum(axis=1)[:, None]
            - 2 * middle @ chosen.T
            + (chosen**2).sum(axis=1)
        )
        index = gap.argmin(axis=1).astype(np.uint8)
        index[codes[common]] = np.arange(len(common), dtype=np.uint8)
        return np.asarray(index)

    def indices(self, frame: Pixels) -> Indices:
        """Return a frame by the palette's numbers, shape (height, width)."""
        return np.asarray(self._index[_codes(frame)])

    def flat(self) -> bytes:
        """Return the palette as a GIF holds it."""
        return self.colours.tobytes().ljust(3 * (COLOURS + 1), b"\0")


def _chosen(
    colours: NDArray[np.float64], counts: NDArray[np.int64]
) -> NDArray[np.int64]:
    """Return which colours to keep: each time the one that is missed most."""
    chosen = [int(counts.argmax())]
    gap = np.full(len(colours), np.inf)
    while len(chosen) < min(COLOURS, len(colours)):
        gap = np.minimum(gap, ((colours - colours[chosen[-1]]) ** 2).sum(axis=1))
        chosen.append(int((gap * np.sqrt(counts)).argmax()))
    return np.array(chosen)


def _codes(pixels: Pixels) -> NDArray[np.int64]:
    short = pixels >> (8 - BITS)
    wide = short.astype(np.int64)
    return np.asarray(
        (wide[..., 0] << (2 * BITS)) | (wide[..., 1] << BITS) | wide[..., 2]
    )


def gif(
    scenes: Sequence[Scene],
    timing: Schedule,
    *,
    size: tuple[int, int] = (960, 540),
    fps: float = 25,
    progress: Progress | None = None,
) -> bytes:
    """Return the animation as the bytes of a GIF that repeats for ever.

    Parameters
    ----------
    scenes : sequence of Scene
        One or two, over the pad positions of `timing`.
    timing : Schedule
        Which position each frame shows.
    size : tuple of 2 int
        Width and height. [px]
    fps : float
        Frames a second; shown to a hundredth of a second a frame.
    progress : callable, optional
        Called with frames done and frames in all.
    """
    palette = Palette(samples(scenes, timing, size))
    return pack(frames(scenes, timing, size, progress=progress), palette, fps)


def pack(pictures: Iterable[Pixels], palette: Palette, fps: float) -> bytes:
    """Return frames as the bytes of a GIF.

    Parameters
    ----------
    pictures : iterable of ndarray, shape (height, width, 3)
        One or more, all of one size.
    palette : Palette
        Made from some of them.
    fps : float
        Frames a second.
    """
    wait = max(round(100 / fps), 2)
    out = io.BytesIO()
    last: Indices | None = None
    for frame in pictures:
        now = palette.indices(frame)
        if last is None:
            out.write(_head(palette, (now.shape[1], now.shape[0])))
            out.write(_block(now, (0, 0), wait, palette))
        else:
            out.write(_difference(last, now, wait, palette))
        last = now
    out.write(b";")
    return out.getvalue()


def samples(
    scenes: Sequence[Scene], timing: Schedule, size: tuple[int, int]
) -> list[Pixels]:
    """Return the frames at the start, half-way and at the deepest, for a palette.

    Arguments as for `gif`.
    """
    few = np.unique([0, len(timing.pad_travel) // 2, len(timing.pad_travel) - 1])
    short = type(timing)(
        pad_travel=timing.pad_travel, indices=few, pressing=np.ones(len(few), bool)
    )
    return list(frames(scenes, short, size))


def _head(palette: Palette, size: tuple[int, int]) -> bytes:
    """Return signature, screen, palette and the mark that it repeats for ever."""
    bits = int(np.log2(COLOURS + 1))
    screen = b"GIF89a" + size[0].to_bytes(2, "little") + size[1].to_bytes(2, "little")
    screen += bytes([0xF0 | (bits - 1), 0, 0]) + palette.flat()
    return screen + b"\x21\xff\x0bNETSCAPE2.0\x03\x01\x00\x00\x00"


def _difference(last: Indices, now: Indices, wait: int, palette: Palette) -> bytes:
    changed = now != last
    rows, columns = (
        np.flatnonzero(changed.any(axis=1)),
        np.flatnonzero(changed.any(axis=0)),
    )
    if not rows.size:  # a frame of its own all the same, for its time
        return _block(np.full((1, 1), COLOURS, np.uint8), (0, 0), wait, palette)
    part = (slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1))
    packed = np.where(changed[part], now[part], np.uint8(COLOURS))
    return _block(packed, (int(columns[0]), int(rows[0])), wait, palette)


def _block(
    part: Indices, corner: tuple[int, int], wait: int, palette: Palette
) -> bytes:
    """Return one frame of the file, which stays until the next is laid over it."""
    control = (
        b"\x21\xf9\x04"
        + bytes([0x05])
        + wait.to_bytes(2, "little")
        + bytes([COLOURS, 0])
    )
    image = Image.fromarray(np.ascontiguousarray(part))
    image = image.convert("P")
    image.putpalette(palette.flat())
    data = b"".join(GifImagePlugin.getdata(image, corner))
    return control + data
