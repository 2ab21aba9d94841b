"""A plot as an SVG file that stands by itself: with its title, its legend, and colours of its own."""

from textwrap import wrap

from pedalwright.report.blocks import Plot
from pedalwright.report.plot_svg import LEFT, WIDTH, legend, plot_svg

NAMESPACE = 'xmlns="http://www.w3.org/2000/svg"'
LETTER_WIDTH = 6.4
"""of an 11-pixel letter, on the wide side"""
FACE = "font-family:DejaVu Sans,system-ui,sans-serif"
STYLE = (
    ".plot .grid{stroke:#d5cfc0;stroke-width:.7;fill:none}.plot .zero{stroke:#57524a}"
    f".plot text{{fill:#57524a;{FACE};font-size:10px}}"
    ".plot .head{fill:#23211d;font-size:11px;font-weight:bold}"
    ".plot .line{fill:none;stroke:#123f55;stroke-width:2;stroke-linejoin:round}"
    ".plot .l1{stroke:#8a3b12}"
    ".plot .dashed{stroke:#8a3b12;stroke-dasharray:5 5}"
    ".plot .filled{fill:#123f55;stroke-width:.5}"
    ".plot .range{fill:#123f55;fill-opacity:.2}"
    "@media (prefers-color-scheme:dark){"
    ".plot .grid{stroke:#4a463e}.plot .zero{stroke:#b0a998}.plot text{fill:#b0a998}.plot .head{fill:#e9e4d8}"
    ".plot .line{stroke:#8ec9e6}.plot .l1,.plot .dashed{stroke:#f0a878}"
    ".plot .range,.plot .filled{fill:#8ec9e6}}"
)
"""colours spelt out: programs that draw pictures know no named ones"""


def plot_file(plot: Plot) -> str:
    """The whole file; an empty string when there is nothing finite to draw."""
    most = int((WIDTH - LEFT) / LETTER_WIDTH)
    head = (*wrap(plot.title, most), *wrap(legend(plot), most))
    drawn = plot_svg(plot, "plot", head=head)
    opening, sign, rest = drawn.partition(">")
    return (
        f"{opening.replace('<svg', f'<svg {NAMESPACE}', 1)}{sign}<style>{STYLE}</style>{rest}\n"
        if drawn
        else ""
    )
