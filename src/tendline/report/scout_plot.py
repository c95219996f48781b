"""Owns the calibration plot of a prediction of travel: share seen in each band beside the share by chance.

Does not own the sums (`season.predicted`) or the same in words (`scout_text`).
"""

from xml.sax.saxutils import escape

from tendline.report.scout_facts import Compared
from tendline.season.predicted import BandSeen, Calibration

WIDTH, HEIGHT = 520.0, 320.0
"""Of one plot [px]."""

_LEFT, _RIGHT, _TOP, _FOOT = 60.0, 20.0, 70.0, 50.0
_INK, _CHANCE = "#1f1f1f", "#8a8a8a"


def calibration_svg(one: Compared) -> str:
    """Draw both plots of a prediction, sign above catches; the verdict stands over each in words."""
    plots = (("Sign seen since", one.sign), ("Catches since, by device-nights", one.catches))
    size = f'width="{WIDTH:g}" height="{2 * HEIGHT:g}" viewBox="0 0 {WIDTH:g} {2 * HEIGHT:g}"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="sans-serif" fill="{_INK}" role="img">',
        f"<title>{escape(f'Travel of a {one.animal}, predicted and seen: {one.file}')}</title>",
        f'<rect width="{WIDTH:g}" height="{2 * HEIGHT:g}" fill="#ffffff"/>',
    ]
    for k, (title, found) in enumerate(plots):
        parts += [f'<g transform="translate(0 {k * HEIGHT:g})">', *_plot(title, found), "</g>"]
    return "\n".join([*parts, "</svg>", ""])


def _plot(title: str, found: Calibration) -> list[str]:
    parts = [
        _text(_LEFT, 24, f"{title}: {found.verdict}"),
        _text(_LEFT, 44, "dot: share seen, bar: where the true share lies; dash: share by chance", size=11),
    ]
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        y = _height(share)
        parts.append(
            f'<line x1="{_LEFT:g}" x2="{WIDTH - _RIGHT:g}" y1="{y:.1f}" y2="{y:.1f}" stroke="#e2e2e2"/>'
        )
        parts.append(_text(_LEFT - 8, y + 4, f"{share:.0%}", anchor="end", size=11))
    step = (WIDTH - _LEFT - _RIGHT) / max(len(found.bands), 1)
    for k, band in enumerate(found.bands):
        parts += _band(_LEFT + (k + 0.5) * step, step, band, seen=found.seen)
    parts.append(
        _text((_LEFT + WIDTH - _RIGHT) / 2, HEIGHT - 8, "predicted travel, least to most", anchor="middle")
    )
    return parts


def _band(x: float, step: float, band: BandSeen, *, seen: int) -> list[str]:
    chance, half = _height(band.expected), step * 0.3
    dash = f'stroke="{_CHANCE}" stroke-width="2" stroke-dasharray="5 3"'
    parts = [
        f'<line x1="{x - half:.1f}" x2="{x + half:.1f}" y1="{chance:.1f}" y2="{chance:.1f}" {dash}/>',
        _text(x, HEIGHT - _FOOT + 18, f"{band.low:.2f}-{band.high:.2f}", anchor="middle", size=11),
    ]
    if seen:
        low, high, at = (_height(share) for share in (band.share_low, band.share_high, band.share))
        bar = f'stroke="{_INK}" stroke-width="2"'
        parts += [
            f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{low:.1f}" y2="{high:.1f}" {bar}/>',
            f'<circle cx="{x:.1f}" cy="{at:.1f}" r="5" fill="{_INK}"/>',
        ]
    return parts


def _height(share: float) -> float:
    return HEIGHT - _FOOT - share * (HEIGHT - _FOOT - _TOP)


def _text(x: float, y: float, words: str, *, anchor: str = "start", size: int = 13) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size}">{escape(words)}</text>'
