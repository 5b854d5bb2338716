"""The look of pages and pictures in one place: colors with enough contrast on white, sizes, the
sheet of styles.

Color is never the only carrier: lines also differ by dash, areas by hatch, and everything is
labelled where it stands.
"""

from __future__ import annotations

INK, MUTED, RULE, PAPER = "#1d2428", "#545d64", "#cfc9ba", "#ffffff"
MAIN, WARM, SOFT, PAST = "#0d4f66", "#6b4300", "#dfeaee", "#7d7a70"
FILLS = ("#0d4f66", "#7fa6b3", "#6b4300", "#c79a5b", "#545d64", "#a8adb0", "#cfc9ba")
# what a color of a picture is inside a page, where the person's eyes choose light or dark
INKS = {
    INK: "var(--ink)", MUTED: "var(--faint)", RULE: "var(--line)", PAPER: "var(--ground)",
    MAIN: "var(--blue)", SOFT: "var(--blue-soft)", PAST: "var(--edge)", "#000000": "var(--ink)",
    WARM: "var(--warm)",
}  # fmt: skip
HATCHES = ("", "//", "", "..", "", "xx", "")
DASHES: tuple[tuple[float, ...], ...] = ((), (6, 2), (2, 2))
FONT_SIZE = 10.0
WIDTH_INCHES = 5.6

# The palette is that of the page (web/static/page.css); a test holds them together.
LIGHT = (
    "--ground:#f3f1ea;--plate:#fffefa;--ink:#1d2428;--faint:#545d64;--line:#cfc9ba;--edge:#7d7a70;"
    "--blue:#0d4f66;--blue-soft:#dfeaee;--flame:#f0a830;--warm:#6b4300"
)
DARK = (
    "--ground:#14181b;--plate:#1d2327;--ink:#ecebe4;--faint:#a9b1b6;--line:#3a434a;--edge:#7f8a91;"
    "--blue:#8fd0e6;--blue-soft:#1f3640;--flame:#f0a830;--warm:#f3c76b"
)
PAPER_ONLY = "--ground:#fff;--plate:#fff;--ink:#000;--faint:#333;--line:#999;--edge:#666"
CARD = """
@container (max-width:WIDTH){
 NAME thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
 NAME tr{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,6.6em),1fr));
  gap:.1rem .8rem;border-bottom:1px solid var(--line);padding:.4rem 0}
 NAME th,NAME td{border:0;padding:0;text-align:left;white-space:normal}
 NAME th,NAME td.long{grid-column:1/-1}
 NAME th{font-weight:700}
 NAME td.r{white-space:nowrap}
 NAME td::before{content:attr(data-head);display:block;color:var(--faint);font-size:.85em;
  white-space:normal}
 NAME td.none{display:none}
}
"""  # a row as a card: its name above, each number under its head
CARDS = (
    (".many", "58em"), (".few", "40em"), (".c4", "17em"), (".c3", "16em"), (".c2", "12em"),
)  # fmt: skip
CSS = (
    f"""
:root{{{LIGHT}}}
@media (prefers-color-scheme:dark){{:root{{{DARK}}}}}
@media print{{:root{{{LIGHT};{PAPER_ONLY}}}}}
"""
    + """
:root{color-scheme:light dark}
*{box-sizing:border-box}
html{font:100%/1.45 system-ui,-apple-system,"Segoe UI","Noto Sans",sans-serif;
 background:var(--ground);color:var(--ink);-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:100rem;padding:1rem;overflow-wrap:anywhere}
h1{font-size:1.6rem;line-height:1.2;margin:.2rem 0}
h2{font-size:1.2rem;margin:1.4rem 0 .4rem}
h3{font-size:1.1rem;margin:1.6rem 0 .3rem;border-bottom:2px solid var(--ink);padding-bottom:.2rem}
p{margin:.4rem 0;max-width:44rem}
.lead{color:var(--faint);margin:0 0 1rem}
.plate{border:2px solid var(--ink);border-radius:.9rem;background:var(--plate);
 padding:.6rem 1.2rem 1rem;max-width:60rem}
.plate .kept{font-size:1.2rem;font-weight:700;color:var(--ink)}
.demo{display:inline-block;border:2px solid var(--flame);border-radius:.35rem;padding:.3rem .6rem;
 font-weight:700}
a{color:var(--blue)}
a:focus-visible{outline:3px solid var(--flame);outline-offset:2px}
.box{container-type:inline-size}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums;font-size:.94rem;
 margin:.3rem 0 .8rem}
caption{text-align:left;font-weight:600;padding:.2rem 0}
.hidden,caption.quiet{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
th,td{text-align:left;padding:.28rem .7rem .28rem 0;border-bottom:1px solid var(--line);
 vertical-align:top;font-weight:400;overflow-wrap:normal}
thead th,tfoot th,tfoot td{font-weight:600}
tfoot th,tfoot td{border-top:2px solid var(--ink);border-bottom:0}
.r{text-align:right;white-space:nowrap}
thead .r{white-space:normal}
.one{white-space:nowrap}
table.c2{max-width:30rem}
.all{display:none;align-items:center;gap:.5rem;min-height:2.75rem;font-weight:600}
.all input{width:1.5rem;height:1.5rem;margin:0;accent-color:var(--blue)}
/* on a phone: four columns as a name above its numbers, more as a card a row, long ones folded */
@container (max-width:26em){
 .c4 tr{display:grid;grid-template-columns:repeat(3,1fr);border-bottom:1px solid var(--line);
  padding:.25rem 0}
 .c4 th,.c4 td{border:0;padding:.05rem .2rem .05rem 0}
 .c4 tbody th,.c4 tfoot th,.c4 thead>tr>:first-child{grid-column:1/-1}
 .c4 thead>tr>:first-child:empty{display:none}
}
@container (max-width:40em){
 .all{display:flex}
 .box:has(.all input:not(:checked)) tbody tr:nth-child(n+6){display:none}
}
"""
    + "".join(CARD.replace("NAME", name).replace("WIDTH", width) for name, width in CARDS)
    + """
figure{margin:.8rem 0 1.2rem}
figcaption{font-weight:600;margin-bottom:.3rem;max-width:44rem}
svg.chart{width:100%;height:auto;max-width:40rem;display:block}
svg.chart *{stroke-linejoin:round;stroke-linecap:butt}
ul.steps{padding-left:1.2rem;margin:.2rem 0}
ul.steps li{margin:.3rem 0}
.note{color:var(--faint);font-size:.94rem}
nav ul{padding:0;margin:.3rem 0;list-style:none}
@media (min-width:90rem){
 .parts{display:grid;grid-template-columns:1fr 1fr;gap:0 3rem;align-items:start}
 .parts>.whole{grid-column:1/-1}
}
nav a,.back a{display:inline-block;min-height:2.75rem;padding:.6rem 0}
nav ul{columns:10rem auto}
footer{margin-top:2rem;border-top:1px solid var(--line);padding-top:.6rem;color:var(--faint);
 font-size:.9rem}
@page{margin:14mm;@bottom-right{content:counter(page) " of " counter(pages);font-size:8pt}}
@media print{
 html{font-size:9.6pt;line-height:1.4}
 body{max-width:none;padding:0}
 h1{font-size:17pt}h2{font-size:12.5pt;margin-top:3.5mm}h3{font-size:11pt}
 nav,.back{display:none}
 .plate{border:0;padding:0;max-width:none}
 .details-start{break-before:page}
 h2,h3,figcaption,caption{break-after:avoid}
 figure,tr,li{break-inside:avoid}
 thead{display:table-header-group}
 tfoot{display:table-row-group}
 p{max-width:none}
 p,ul.steps li{margin:.8mm 0}
 table{font-size:8.4pt;margin:.5mm 0 1.5mm}
 th,td{padding:.5mm 2mm .5mm 0}
 .wide table{font-size:7.4pt}
 .wide th,.wide td{padding-right:1.4mm}
 .note{font-size:8pt}
 svg.chart{max-width:110mm}
 .box{container-type:normal}
}
"""
)
