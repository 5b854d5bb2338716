"""The look of pages and pictures in one place: colors with enough contrast on white, sizes, the
sheet of styles.

Color is never the only carrier: lines also differ by dash, areas by hatch, and everything is
labelled where it stands.
"""

from __future__ import annotations

INK, MUTED, RULE, PAPER = "#1c2733", "#55606c", "#c9d0d8", "#ffffff"
# On white: 6.6, 5.9 and 1.3 to 1 (SOFT only as a filling)
MAIN, WARM, SOFT = ("#1f5f99", "#a8470f", "#cfe0ef")
FILLS = ("#1f5f99", "#7fb0d9", "#a8470f", "#e0a77f", "#55606c", "#b9c2cb", "#dfe4e9")
HATCHES = ("", "//", "", "..", "", "xx", "")
DASHES: tuple[tuple[float, ...], ...] = ((), (6, 2), (2, 2))
FONT_SIZE = 10.0
WIDTH_INCHES = 7.2

CSS = """
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0 auto;max-width:60rem;padding:1rem;color:#1c2733;background:#fff;
 font:1rem/1.5 system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif}
h1{font-size:1.7rem;line-height:1.2;margin:.2rem 0}
h2{font-size:1.25rem;margin:1.6rem 0 .4rem;border-bottom:2px solid #1c2733;padding-bottom:.2rem}
h3{font-size:1.05rem;margin:1.2rem 0 .3rem}
p{margin:.4rem 0}
.lead{color:#55606c;margin:0 0 1rem}
.demo{border:2px solid #a8470f;padding:.3rem .6rem;font-weight:600}
.scroll{overflow-x:auto}
.scroll:focus-visible,a:focus-visible{outline:3px solid #1f5f99;outline-offset:2px}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums;font-size:.94rem;
 margin:.3rem 0 .8rem}
caption{text-align:left;font-weight:600;padding:.2rem 0}
caption.quiet{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
th,td{text-align:left;padding:.28rem .5rem .28rem 0;border-bottom:1px solid #c9d0d8;
 vertical-align:top;font-weight:400}
thead th,tfoot th,tfoot td{font-weight:600}
tfoot th,tfoot td{border-top:2px solid #1c2733;border-bottom:0}
.r{text-align:right;white-space:nowrap}
.one{white-space:nowrap}
tbody th,tfoot th{min-width:6.2rem}
th.one{min-width:0}
table.narrow{max-width:27rem}
figure{margin:.8rem 0 1.2rem}
figcaption{font-weight:600;margin-bottom:.3rem}
svg.chart{width:100%;height:auto;min-width:35rem;max-width:46rem;display:block}
svg.chart *{stroke-linejoin:round;stroke-linecap:butt}
ul.steps{padding-left:1.2rem}
ul.steps li{margin:.3rem 0}
.note{color:#55606c;font-size:.94rem}
nav ul{padding-left:1.2rem;margin:.3rem 0}
@media (min-width:50rem){nav ul{columns:3}}
nav a{color:#1f5f99;display:inline-block;padding:.35rem 0}
footer{margin-top:2rem;border-top:1px solid #c9d0d8;padding-top:.6rem;color:#55606c;font-size:.9rem}
@page{margin:14mm}
@media print{
 body{max-width:none;padding:0;font-size:9.6pt;line-height:1.4}
 h1{font-size:17pt}h2{font-size:12.5pt;margin-top:5mm}h3{font-size:11pt}
 nav{display:none}
 .details-start{break-before:page}
 h2,h3,figcaption,caption{break-after:avoid}
 figure,tr,li{break-inside:avoid}
 thead{display:table-header-group}
 tfoot{display:table-row-group}
 .scroll{overflow:visible}
 h2{margin-top:3.5mm}
 p,ul.steps li{margin:.8mm 0}
 .lead{margin-bottom:1mm}
 ul.steps{margin:1mm 0}
 table{font-size:8.4pt;margin:.5mm 0 1.5mm}
 th,td{padding:.5mm 2mm .5mm 0}
 tbody th,tfoot th{min-width:0}
 .wide th,.wide td{padding-right:1.4mm}
 .note{font-size:8pt}
 .wide table{font-size:7.4pt}
 svg.chart{min-width:0;max-width:150mm}
}
"""
