/** The style sheet of the pages. */
import { FONT_FIGURES, FONT_TEXT, LIGHT, pictureStyle, TYPE_px } from './theme.ts';

/** Fonts to embed, each the base64 text of a WOFF2 file; without them the reader's own are used. */
export interface Fonts {
  readonly regular: string;
  readonly bold: string;
  readonly mono: string;
}

const TEXT_NAME = 'Atkinson Hyperlegible Next';
const MONO_NAME = 'Atkinson Hyperlegible Mono';

function face(family: string, weight: number, base64: string | undefined): string {
  const local = `local("${family}${weight === 700 ? ' Bold' : ''}")`;
  if (base64 === undefined) return '';
  if (!/^[A-Za-z0-9+/=\s]*$/.test(base64)) throw new RangeError(`font ${family} ${weight} is not base64`);
  return `@font-face{font-family:"${family}";font-weight:${weight};font-display:swap;src:${local},url(data:font/woff2;base64,${base64}) format("woff2")}`;
}

/** Everything a page needs: fonts if given, themes, pictures, type, tables, print on A4 and Letter. */
export function pageStyle(fonts?: Fonts): string {
  const { small, body, lead, head, verdict } = TYPE_px;
  return `${face(TEXT_NAME, 400, fonts?.regular)}${face(TEXT_NAME, 700, fonts?.bold)}${face(MONO_NAME, 400, fonts?.mono)}${pictureStyle(':root')}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:${body}px/1.5 ${FONT_TEXT};font-variant-numeric:tabular-nums;-webkit-text-size-adjust:100%}
.page{max-width:1176px;margin:0 auto;padding:16px 24px 64px}
.thing{display:flex;max-width:none;flex-wrap:wrap;gap:0 16px;margin:0 0 32px;padding:0 0 8px;border-bottom:1px solid var(--hairline);font-size:${small}px}
.thing b{font-size:${body}px;line-height:1.2}
.state{display:flex;align-items:center;gap:8px;margin:0 0 8px;font-weight:700}
.state svg{flex:none}
h1{max-width:32em;margin:0 0 16px;font-size:${verdict}px;line-height:1.25;font-weight:700;text-wrap:balance;overflow-wrap:anywhere}
h2{margin:0 0 4px;font-size:${lead}px;line-height:1.3}
h3{margin:24px 0 4px;font-size:${body}px}
p{max-width:66ch;margin:0 0 16px}
.lead{font-size:${lead}px;line-height:1.4;max-width:52ch}
section{margin:0 0 48px}
.said{margin-bottom:16px}
.note,figcaption,caption{font-size:${small}px}
figure{margin:0}
figure svg,.strip svg{display:block;max-width:100%;height:auto}
.map{position:relative;margin:0 0 8px;--paper:${LIGHT.paper};--ink:${LIGHT.ink};--lake:${LIGHT.lake}}
.map img{display:block;width:100%;height:auto}
.map svg{position:absolute;inset:0;width:100%;height:100%}
.narrow{display:none}
.pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,320px),1fr));gap:0 32px}
.scroll{overflow-x:auto;margin:0 0 16px}
table{border-collapse:collapse;width:100%;font-size:14px;line-height:1.4}
caption{text-align:left;padding:0 0 8px}
th,td{padding:6px 16px 6px 0;border-bottom:1px solid var(--hairline);text-align:left;vertical-align:top;font-weight:400;overflow-wrap:break-word}
td:not(.n),th[scope=row]{min-width:6.5em}
th:last-child,td:last-child{padding-right:0}
thead th{font-weight:700;vertical-align:bottom;border-bottom-color:var(--ink)}
.n{text-align:right;white-space:nowrap}
thead .n{white-space:normal;min-width:4.5em}
td.f{font-family:${FONT_FIGURES};font-size:13px}
.tight td,.tight th{white-space:nowrap;padding-top:4px;padding-bottom:4px}
tr.sum>*{border-top:1px solid var(--ink)}
tr.here>*,tr.differs>*{font-weight:700}
td code{white-space:nowrap}
code{font-family:${FONT_FIGURES};font-size:.92em;overflow-wrap:anywhere}
aside section{margin-bottom:32px}
dl{margin:0;font-size:14px}
dt{font-weight:700;overflow-wrap:anywhere}
dd{margin:0 0 12px;overflow-wrap:anywhere}
aside ul,.plain{margin:0;padding:0;list-style:none;font-size:14px}
aside li,.plain li{padding:2px 0 2px 12px;border-left:3px solid var(--dusk);margin:0 0 12px;overflow-wrap:anywhere}
details{border-top:1px solid var(--hairline);padding:12px 0}
summary{cursor:pointer;color:var(--lake);font-weight:700}
summary:focus-visible,.scroll:focus-visible{outline:2px solid var(--lake);outline-offset:2px}
details ul{padding-left:20px;font-size:14px;max-width:75ch}
footer{font-size:${small}px;border-top:1px solid var(--hairline);padding-top:12px}
@media (min-width:1144px){.page.wide-aside .columns{display:grid;grid-template-columns:752px 312px;gap:64px;align-items:start}}
@media screen and (max-width:640px){.page{padding:12px 16px 48px}h1{font-size:${head}px}.lead{font-size:18px}.wide{display:none}.narrow{display:block}section{margin-bottom:40px}th,td{padding-right:10px}}
@page{margin:15mm 14mm}
@media print{.map{max-width:120mm}.way{break-inside:avoid}.way svg{max-width:150mm}body{font-size:13.5px;background:none}.page{max-width:none;padding:0}.page.wide-aside .columns{display:block}section{margin-bottom:24px}section.picture{break-inside:avoid}th,td{padding-top:4px;padding-bottom:4px}thead,thead tr,tbody tr:nth-child(-n+3){break-after:avoid}tbody tr:nth-last-child(-n+3){break-before:avoid}h1{font-size:${head}px}h2{font-size:17px;break-after:avoid}h3,.said,caption{break-after:avoid}.lead{font-size:15px}figure,tr,li,dt,.pair{break-inside:avoid}dt{break-after:avoid}table,dl,aside ul,details ul{font-size:12px}.scroll{overflow:visible}thead{display:table-header-group}.pair{grid-template-columns:1fr 1fr;gap:0 24px}details::details-content{content-visibility:visible;display:block;height:auto}summary{color:inherit;list-style:none}*{print-color-adjust:exact;-webkit-print-color-adjust:exact}}
`;
}
