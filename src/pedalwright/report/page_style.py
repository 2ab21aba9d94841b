"""The look of a page: paper, ink, one accent; dark where the reader wants it, plain on paper."""

STYLE = """
:root{color-scheme:light dark;--paper:#fdfcf8;--ink:#23211d;--soft:#5d574c;--rule:#d9d3c4;--tint:#f3efe4;
--accent:#8a3b12;--second:#1d5c79;--good:#2c5e32;--doubt:#9c1c1c}
@media (prefers-color-scheme:dark){:root{--paper:#191816;--ink:#e9e4d8;--soft:#b0a998;--rule:#403c34;
--tint:#23211d;--accent:#f0a878;--second:#8ec9e6;--good:#9fd3a2;--doubt:#ff9b90}}
*{box-sizing:border-box}
html{font:17px/1.55 Charter,"Bitstream Charter","Iowan Old Style",Georgia,"Times New Roman",serif;
background:var(--paper);color:var(--ink)}
body{max-width:46rem;margin:0 auto;padding:2.5rem 1.2rem 5rem;overflow-wrap:anywhere}
h1{font-size:2.1rem;line-height:1.15;margin:0 0 .6rem;font-weight:600}
h2{font-size:1.4rem;margin:3rem 0 .8rem;padding-top:.9rem;border-top:3px double var(--rule);font-weight:600}
h3{font-size:1.15rem;margin:0 0 .3rem;font-weight:600}
h3 .aside{font-weight:400;color:var(--soft);font-size:.95rem;margin-left:.5rem}
p{margin:.5rem 0}
a{color:var(--accent)}
a:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
header p{color:var(--soft);font-style:italic}
nav ol{columns:2;column-gap:2.5rem;padding-left:1.2rem;margin:.4rem 0}
nav ol ol{columns:1;list-style:none;padding-left:.6rem;margin:0 0 .4rem;font-size:.9rem}
nav>ol>li{break-inside:avoid-column}
nav>ol>li.long{break-inside:auto}
article{margin:1.6rem 0;padding-top:1.5rem;border-top:1px solid var(--rule)}
h2+article{border-top:0;padding-top:.2rem;margin-top:.6rem}
.lead{font-size:1.08rem}
.quiet{color:var(--soft);font-size:.92rem}
.good,.doubt{padding-left:.8rem;border-left:3px solid}
.good{color:var(--good)}
.doubt{color:var(--doubt);font-weight:600}
.formula{margin:.8rem 0;padding-left:1.2rem}
.formula code{font:italic 1.05rem Georgia,"Times New Roman",serif}
.formula span{display:block;color:var(--soft);font-size:.85rem}
.scroll{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-size:.9rem;margin:.8rem 0}
caption{text-align:left;color:var(--soft);font-size:.88rem;padding-bottom:.25rem}
th,td{text-align:left;vertical-align:top;padding:.28rem .8rem .28rem 0;
border-bottom:1px solid var(--rule);font-weight:400}
thead th{color:var(--soft);font-size:.85rem;border-bottom:1.5px solid var(--soft)}
tbody th{font-weight:600}
.n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums lining-nums}
table.facts{width:auto}
table.facts th{font-weight:400;color:var(--soft);padding-right:1.6rem;min-width:5.6rem}
ul{padding-left:1.1rem;margin:.5rem 0}
li{margin:.2rem 0}
dl.parts{margin:1rem 0 0}
dl.parts dt{margin-top:.7rem}
dl.parts dt b{font-weight:600;margin-right:.5rem}
dl.parts dt span{color:var(--accent);margin-left:.6rem;font-size:.92rem}
dl.parts dd{margin:0 0 0 1.4rem}
dl.parts dd+dd{color:var(--soft);font-size:.92rem}
.box{background:var(--tint);border:1px solid var(--rule);padding:.4rem 1.1rem;margin:.8rem 0;font-size:.94rem}
.plots{display:flex;flex-wrap:wrap;gap:1rem;margin:1rem 0}
figure{flex:1 1 20rem;max-width:34rem;margin:0}
@media (min-width:44rem){
.plots figure:nth-child(odd):last-child:not(:first-child):not(.wide){max-width:calc(50% - .5rem)}}
figcaption{font-size:.85rem;color:var(--soft)}
.plot{width:100%;height:auto;display:block}
.plot .grid{stroke:var(--rule);stroke-width:.7;fill:none}
.plot .zero{stroke:var(--soft)}
.plot text{fill:var(--soft);font:11px system-ui,sans-serif}
.plot .line{fill:none;stroke:var(--second);stroke-width:2;stroke-linejoin:round}
.plot .l1{stroke:var(--accent)}
.plot .dashed{stroke:var(--accent);stroke-width:2;stroke-dasharray:5 5}
.plot .shade{fill:var(--second)}
.plot .filled{fill:var(--second);stroke-width:.5}
.plot .range{fill:var(--second);fill-opacity:.2}
.plot image{image-rendering:pixelated}
.plot .sheet{fill:none;stroke:var(--rule)}
.plot .mark{stroke:var(--accent);stroke-width:1;stroke-dasharray:2 3;fill:none}
figure.wide,figure.sound{flex-basis:100%;max-width:none;margin:1rem 0}
figure.sound{background:var(--tint);border:1px solid var(--rule);padding:.6rem 1.1rem}
figure.sound b{color:var(--ink)}
audio{width:100%;display:block;margin-top:.4rem}
footer{margin-top:3rem;padding-top:.8rem;border-top:3px double var(--rule);color:var(--soft);font-size:.85rem}
@media (max-width:34rem){nav ol{columns:1}}
@media print{:root{color-scheme:light;--paper:#fff;--ink:#000;--soft:#444;--rule:#ccc;--tint:#fff;
--accent:#6b2a08;--second:#123f55;--good:#1c4322;--doubt:#800}
html{font-size:10.5pt}body{max-width:none;padding:0}h2,h3,dt,caption{break-after:avoid}
figure,tr,.box,.formula{break-inside:avoid}
audio{display:none}a{color:inherit;text-decoration:none}@page{margin:18mm}}
"""
"""Text colours stand at 4.5 to 1 or better on their ground in both schemes, as WCAG 2.2 (1.4.3) asks."""
