/** The look of a report: the page's own ink, rules and type, light and dark by the reader's system, and on paper. */
import {DARK_PALETTE, LIGHT_PALETTE, paletteProperties, type Palette} from "../charts/index.ts";

/** `data:` addresses of the two text fonts, or null to read in the fonts the reader has. */
export interface ReportFonts {
  readonly sans: string;
  readonly serif: string;
}

export const reportStyle = (fonts: ReportFonts | null): string => `${faces(fonts)}
:root{color-scheme:light;--paper:#fff;--tint:#f5f7f5;--ink:#1a2123;--ink-2:#47525a;--ink-3:#5f6a6f;--rule:#d6ddd9;--strong:#1a2123;--accent:#0b5c49;--warn:#8a5300;--wrong:#a3261f;${properties(LIGHT_PALETTE)};
--sans:"Source Sans 3 Variable","Source Sans 3","Helvetica Neue",Arial,sans-serif;--serif:"Source Serif 4 Variable","Source Serif 4",Georgia,"Times New Roman",serif}
@media screen and (prefers-color-scheme:dark){:root{color-scheme:dark;--paper:#14191a;--tint:#1b2122;--ink:#e6ebe8;--ink-2:#b3bdb9;--ink-3:#93a09b;--rule:#2e3838;--strong:#aab5b1;--accent:#79c9ae;--warn:#e0ac5c;--wrong:#f09a90;${properties({...DARK_PALETTE, surface: "#14191a"})}}}
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:400 1rem/1.5 var(--sans);font-variant-numeric:lining-nums}
body{margin:0 auto;max-width:76rem;padding:1.75rem 2.5rem 4rem}
h1,h2,h3,p,figure,dl,dd{margin:0}p{margin-bottom:.75em;text-wrap:pretty}h1,h2,h3{text-wrap:balance}
a{color:var(--accent);text-decoration-thickness:1px;text-underline-offset:.18em}a:hover{text-decoration-thickness:2px}
:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
code{font-size:.86em;font-family:ui-monospace,"Cascadia Mono",Menlo,Consolas,monospace}
.top{display:flex;flex-wrap:wrap;justify-content:space-between;gap:.2rem 2rem;border-bottom:4px double var(--rule);padding-bottom:.6rem;margin-bottom:2rem;color:var(--ink-2);font-size:.8125rem;line-height:1.4}
.top strong{color:var(--ink);font:650 1.05rem/1.2 var(--serif)}
h1{font:600 2rem/1.15 var(--serif);letter-spacing:-.012em}
.question{margin:.5rem 0 .75rem;color:var(--ink-2);font:400 1.125rem/1.45 var(--serif)}
.invented{display:inline-block;margin:0 0 .5rem;border:1px dashed var(--warn);padding:.25rem .6rem;color:var(--ink-2);font-size:.875rem}.invented strong{color:var(--warn)}
.within{color:var(--ink-2);font-size:.875rem}
header,.prose,.index,.stands,footer{max-width:47rem}
.prose{font:400 1.0625rem/1.55 var(--serif)}
.prose h2{margin:2.75rem 0 .5rem;border-top:1px solid var(--rule);padding-top:.9rem;font:600 1.0625rem/1.3 var(--sans)}
.prose h3{margin:1.25rem 0 .35rem;font:600 1rem/1.3 var(--sans)}
.prose ul,.prose ol{margin:0 0 .75em;padding-left:1.3em}
.prose table{border-collapse:collapse;font:400 .875rem/1.4 var(--sans)}.prose td,.prose th{border-bottom:1px solid var(--rule);padding:.25rem .75rem .25rem 0;text-align:left;vertical-align:top}
.answer{display:grid;grid-template-columns:minmax(0,47rem) minmax(0,1fr);gap:1.25rem 2rem;align-items:start;margin:2rem 0 2.75rem}
.answer>*{grid-column:1/-1;min-width:0}.answer>.said{grid-column:1}.answer>.cautions{grid-column:2}
.headline{margin:0;font:600 1.3125rem/1.34 var(--serif)}.more{margin:.5rem 0 0;font:400 1.0625rem/1.5 var(--serif)}
.cautions,.problem{border-left:2px solid var(--warn);padding:.1rem 0 .1rem .8rem;color:var(--ink-2);font-size:.8125rem;line-height:1.42}
.cautions strong{color:var(--warn)}.cautions p{margin:.2rem 0 .4rem}.problem{max-width:47rem;border-color:var(--wrong);font-size:1rem}.problem strong{color:var(--wrong)}
.figures{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:1.5rem 2rem}.figures>:only-child,.figures>.lead{grid-column:1/-1;max-width:47rem}
figure h3,.table h3{margin-bottom:.5rem;font:600 .9375rem/1.35 var(--sans)}
figure svg{display:block;width:100%;height:auto;overflow:visible}figure svg text{white-space:pre}
figcaption,.note{margin-top:.35rem;color:var(--ink-3);font-size:.8125rem;line-height:1.4}.links{white-space:nowrap}.links a{margin-left:.6rem}
.scroll{overflow-x:auto;border-block:1.5px solid var(--strong)}
.table table,.stands table{width:100%;border-collapse:collapse;font-size:.875rem;font-variant-numeric:tabular-nums lining-nums;line-height:1.35}
.table.side table{width:auto}
.table thead{border-bottom:1px solid var(--strong)}
.table th,.table td{padding:.26rem .6rem;text-align:left;vertical-align:baseline;font-weight:400}
.table thead th{padding:.4rem .6rem .3rem;font-weight:600;font-size:.8125rem;line-height:1.2;vertical-align:bottom}
.table th small{display:block;color:var(--ink-3);font-weight:400;font-size:1em}
.table th:first-child,.table td:first-child{padding-left:.1rem}
.table tbody tr+tr{border-top:1px solid var(--rule)}.table tbody tr.begins:not(:first-child){border-top-color:var(--ink-3)}
.table .n{text-align:right;white-space:nowrap}.table td.limits{padding-left:0;color:var(--ink-2)}.table th.limits{padding-left:0;color:var(--ink-2);font-weight:400}
.table .short{white-space:nowrap}.table .usual{min-width:9rem}.table .long{min-width:13rem}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
details{margin-top:.35rem;color:var(--ink-2);font-size:.8125rem}summary{cursor:pointer;color:var(--accent)}details dl{max-width:60rem}details dt{margin-top:.4rem;color:var(--ink);font-weight:600}
.term{border:0;padding:0;background:none;color:inherit;font:inherit;text-align:inherit;text-decoration:underline dotted var(--ink-3) 1px;text-underline-offset:.2em;cursor:help}
.unbroken{white-space:nowrap}
.meaning{display:none;position:fixed;inset:auto 0 0 0;width:auto;max-width:none;margin:0;border:0;border-top:4px double var(--strong);padding:.8rem 2.5rem 1rem;background:var(--paper);color:var(--ink);font:400 1rem/1.45 var(--sans)}
@supports selector(:popover-open){.meaning:popover-open{display:block}}
figcaption details.rows{max-width:100%}
.words{margin-top:3rem;font-size:.875rem}
.index ol{margin:0;padding:0;list-style:none}.index h2{margin:2rem 0 .25rem;color:var(--ink-3);font:400 .8125rem/1.3 var(--sans)}
.index li{border-top:1px solid var(--rule);padding:.8rem 0 .7rem}.index li>a{font:600 1.1875rem/1.3 var(--serif)}.index li p{margin:.25rem 0 0}.index .asked{color:var(--ink-2)}.index .failed{color:var(--wrong)}
.stands{max-width:none;margin-top:3.5rem;border-top:1px solid var(--rule);padding-top:.75rem;color:var(--ink-2);font-size:.875rem}.stands h2{font:600 1rem/1.3 var(--sans);color:var(--ink)}
.stands dl{display:grid;grid-template-columns:7rem minmax(0,44rem);gap:.2rem 1rem;margin:.6rem 0 1rem}.stands dt{color:var(--ink-3)}
.stands table{width:auto}.stands th,.stands td{border-bottom:1px solid var(--rule);padding:.2rem 1.25rem .2rem 0;font-weight:400;text-align:left}.stands thead th{color:var(--ink-3);font-size:.8125rem;vertical-align:bottom}.stands .n{text-align:right}
.bench{margin-top:3.5rem;border-top:1.5px solid var(--warn);padding-top:.75rem;font-size:.875rem}.bench h2{font:600 1rem/1.3 var(--sans)}.bench>p{max-width:47rem;margin:.25rem 0 .75rem}
.bench dl{columns:2;column-gap:2.5rem;max-width:62rem;color:var(--ink-2);line-height:1.42}.bench div{margin-bottom:.5rem;break-inside:avoid}.bench dt{color:var(--ink);font-weight:600}
.sign{display:none}
footer{margin-top:2.5rem;border-top:4px double var(--rule);padding-top:.75rem;color:var(--ink-2);font-size:.8125rem}
@media (max-width:1100px){body{padding-inline:1.75rem}.answer>.cautions{grid-column:1}.answer{grid-template-columns:minmax(0,1fr)}}
@media (max-width:760px){body{padding-inline:1.1rem}.figures{grid-template-columns:minmax(0,1fr)}.bench dl{columns:1}}
@page{margin:16mm 15mm 18mm}
@media print{html{font-size:9.5pt}.term{text-decoration:none}body{max-width:none;padding:0}a{color:inherit;text-decoration:none}.links,.top nav{display:none}
figure,tr,.cautions,h1,h2,h3,.said{break-inside:avoid}h1,h2,h3,.prose,.said{break-after:avoid}thead{display:table-header-group}.scroll{overflow:visible}
.answer{gap:4mm 6mm;grid-template-columns:minmax(0,1fr)}.answer>.cautions{grid-column:1}.table table{font-size:var(--paper-size,8pt)}.table thead th{font-size:1em}.table th,.table td,.table thead th{padding:.2em .5em}.table .usual,.table .long{min-width:0}.table th.n,.table th.short{white-space:normal}details:not([open]){display:none}
.sign{display:flex;gap:6mm;break-inside:avoid}.sign div{flex:1}.sign dd{height:9mm;border-bottom:1px solid var(--ink)}.sign dt{color:var(--ink-2);font-size:7.5pt}
html:has(.to-sign){font-size:7.8pt}.to-sign :is(.prose,figure,details,.stands){display:none}.to-sign .question{margin:0}.to-sign .cautions{columns:2;column-gap:6mm}
.to-sign .answer{row-gap:2.5mm;margin:3mm 0 0}.to-sign .bench{margin-top:3mm}body:has(.to-sign) .top{margin-bottom:3mm}body:has(.to-sign .bench) footer{display:none}.to-sign .bench dl{columns:3}}
`;

const properties = (palette: Palette): string =>
  Object.entries(paletteProperties(palette))
    .map(([name, value]) => `${name}:${value}`)
    .join(";");

function faces(fonts: ReportFonts | null): string {
  if (fonts === null) return "";
  const face = (name: string, address: string) =>
    `@font-face{font-family:"${name}";font-weight:200 900;src:url(${address}) format("woff2")}`;
  return face("Source Sans 3 Variable", fonts.sans) + face("Source Serif 4 Variable", fonts.serif);
}
