"""Frames as an MP4, by the encoder that comes with the extra ``mp4``.

Not here: the frames (`picture`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.animation.picture import frames
from linkage.errors import OutputError, UsageError
from linkage.outside.files import scratch

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.animation.picture import Progress
    from linkage.animation.scene import Scene
    from linkage.animation.schedule import Schedule

#: What the encoder is told: even in quality, soon shown, the same bytes every time.
OUTPUT: Final = "-crf 20 -tune animation -movflags +faststart -fflags +bitexact"


def refuse_without_encoder() -> None:
    """Refuse before any work where no encoder is at hand.

    Raises
    ------
    OutputError
        With what to install or to write instead.
    """
    hint = "install `throttle-linkage[mp4]`, or write a .gif or .html"
    try:
        import imageio_ffmpeg

        imageio_ffmpeg.get_ffmpeg_exe()
    except ImportError:
        msg = "the package with the MP4 encoder is not installed"
        raise OutputError(msg, hint=hint) from None
    except RuntimeError:
        msg = "no MP4 encoder was found on this machine"
        raise OutputError(msg, hint=hint) from None


def refuse_odd(size: tuple[int, int]) -> None:
    """Refuse a size that players of MP4 cannot show: both sides must be even.

    Raises
    ------
    UsageError
        With the nearest size that can be.
    """
    width, height = size
    if width % 2 or height % 2:
        msg = f"an MP4 cannot be {width} x {height} pixels: both must be even"
        raise UsageError(msg, hint=f"give {width - width % 2}x{height - height % 2}")


def mp4(
    scenes: Sequence[Scene],
    timing: Schedule,
    *,
    size: tuple[int, int] = (960, 540),
    fps: float = 25,
    progress: Progress | None = None,
) -> bytes:
    """Return the animation as the bytes of an MP4 (H.264).

    The encoder works in a temporary folder, which goes whatever happens.

    Parameters
    ----------
    scenes : sequence of Scene
        One or two, over the pad positions of `timing`.
    timing : Schedule
        Which position each frame shows.
    size : tuple of 2 int
        Width and height, both even. [px]
    fps : float
        Frames a second.
    progress : callable, optional
        Called with frames done and frames in all.

    Raises
    ------
    OutputError
        If there is no encoder, or it fails.
    UsageError
        If the size is odd.
    """
    refuse_odd(size)
    refuse_without_encoder()
    import imageio_ffmpeg

    with scratch() as folder:
        path = folder / "out.mp4"
        encoder = imageio_ffmpeg.write_frames(
            str(path),
            size,
            fps=fps,
            codec="libx264",
            macro_block_size=2,
            quality=None,
            ffmpeg_log_level="error",
            output_params=OUTPUT.split(),
        )
        try:
            encoder.send(None)
            for frame in frames(scenes, timing, size, progress=progress):
                encoder.send(np.ascontiguousarray(frame))
        except OSError as fault:
            msg = "the MP4 encoder failed"
            raise OutputError(
                msg, hint=f"write a .gif or .html instead; it said: {_last_line(fault)}"
            ) from None
        finally:
            encoder.close()
        if not path.is_file() or not path.stat().st_size:
            msg = "the MP4 encoder wrote nothing"
            raise OutputError(msg, hint="write a .gif or .html instead")
        return path.read_bytes()


def _last_line(fault: OSError) -> str:
    lines = [line for line in str(fault).splitlines() if line.strip()]
    return lines[-1].strip() if lines else type(fault).__name__
