/** The passport of one unit: a static page that its maker hosts where the code on the label leads. Holds what was chosen, nothing else. */
import { pageStyle } from './css.ts';
import { glue } from './layout.ts';
import { escapeText } from './svg.ts';
import { table } from './tables.ts';

export interface PassportGate {
  readonly name: string;
  readonly limits: string;
  readonly value: string;
  readonly state: 'open' | 'passed' | 'failed' | 'undecided' | 'overridden';
  readonly tries: number;
  /** UTC, ISO 8601; empty where nothing was measured. */
  readonly day: string;
}

export interface PassportLot {
  readonly name: string;
  readonly lot: string;
  readonly count: number;
  readonly keptBack: boolean;
}

/** Each part is there only when its maker chose to show it. No key, no customer, no person. */
export interface Passport {
  readonly serial: string;
  /** Day on which the page is made out, UTC, ISO 8601. */
  readonly day: string;
  readonly kit?: { readonly name: string; readonly facts: readonly (readonly [string, string])[] };
  readonly made?: readonly (readonly [string, string])[];
  readonly gates?: readonly PassportGate[];
  readonly lots?: readonly PassportLot[];
  readonly papers?: readonly { readonly name: string; readonly state: string }[];
  readonly care?: readonly string[];
  /** Day on which it left; null while it has not. */
  readonly shipped?: { readonly day: string | null };
}

/** What the page says in one sentence. */
export function passportSentence({ serial, kit, gates, shipped }: Passport): string {
  const what = kit === undefined ? `Unit ${serial}` : `${kit.name}, unit ${serial}`;
  const said: string[] = [];
  if (gates !== undefined && gates.length > 0) {
    const passed = gates.filter((gate) => gate.state === 'passed').length;
    const all = passed === gates.length;
    said.push(
      all ? `passed ${passed === 1 ? 'its gate' : `all ${passed} gates`}` : `passed ${passed} of ${gates.length} gates`,
    );
  }
  if (shipped?.day) said.push(`left its maker on ${shipped.day}`);
  return said.length === 0 ? `${what}.` : `${what}, ${said.join(' and ')}.`;
}

const part = (id: string, heading: string, content: string) =>
  `<section aria-labelledby="${id}"><h2 id="${id}">${heading}</h2>\n${content}\n</section>`;

/** Names beside their values; one below the other on a phone. */
const PAIRS =
  '@media (min-width:480px){dl{display:grid;grid-template-columns:max-content 1fr;gap:4px 24px}dd{margin:0}}';

const facts = (rows: readonly (readonly [string, string])[]) =>
  `<dl>${rows.map(([name, value]) => `<dt>${escapeText(name)}</dt><dd>${escapeText(value)}</dd>`).join('')}</dl>`;

/** A whole HTML file: no script, nothing fetched, every text escaped. Prints on A4 and Letter. */
export function passportPage(passport: Passport): string {
  const { serial, day, kit, made, gates, lots, papers, care, shipped } = passport;
  const parts = [
    kit === undefined ? '' : part('kit', 'What it is', facts(kit.facts)),
    made === undefined ? '' : part('made', 'Where it comes from', facts(made)),
    gates === undefined ? '' : part('gates', 'What it was tested for', gatesMarkup(gates)),
    lots === undefined ? '' : part('lots', 'What is in it', lotsMarkup(lots)),
    papers === undefined
      ? ''
      : part(
          'papers',
          'Papers of its market',
          papers.length === 0
            ? '<p>None is noted yet.</p>'
            : `<p>These are there with its maker:</p><ul class="plain">${papers.map(({ name }) => `<li>${escapeText(name)}</li>`).join('')}</ul>`,
        ),
    care === undefined
      ? ''
      : part('care', 'Care', `<ul class="plain">${care.map((c) => `<li>${escapeText(glue(c))}</li>`).join('')}</ul>`),
    shipped === undefined
      ? ''
      : part(
          'shipped',
          'Shipped',
          `<p>${shipped.day === null ? 'It has not left its maker yet.' : escapeText(shipped.day)}</p>`,
        ),
  ];
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<title>${escapeText(serial)}: passport</title>
<style>${pageStyle()}${PAIRS}</style>
</head>
<body>
<div class="page">
<header>
<p class="thing"><b>${escapeText(serial)}</b><span>passport of the unit</span></p>
<h1>${escapeText(passportSentence(passport))}</h1>
</header>
<main>
${parts.filter((p) => p !== '').join('\n')}
</main>
<footer><p>Made out on ${escapeText(day)} from the maker’s records; what happened later does not stand here. Figures hold for the day and the instrument; local law, codes and licensed practice decide.</p></footer>
</div>
</body>
</html>
`;
}

function gatesMarkup(gates: readonly PassportGate[]): string {
  if (gates.length === 0) return '<p>Its plan has no gates.</p>';
  return table(
    'What counts at each gate; days in UTC',
    [
      { head: 'gate' },
      { head: 'limit' },
      { head: 'measured', figures: true },
      { head: 'state' },
      { head: 'tries', figures: true },
      { head: 'day' },
    ],
    gates.map((g) => ({
      cells: [
        g.name,
        g.limits,
        g.value,
        g.state === 'overridden' ? 'let past by its maker' : g.state === 'open' ? 'not measured' : g.state,
        g.tries === 0 ? '' : String(g.tries),
        g.day,
      ],
    })),
  );
}

function lotsMarkup(lots: readonly PassportLot[]): string {
  if (lots.length === 0) return '<p>No lot was noted for it.</p>';
  const held = lots.some((l) => l.keptBack)
    ? '<p><b>A lot in it is kept back: ask its maker before it is used.</b></p>\n'
    : '';
  return (
    held +
    table(
      'Parts and the lots that they came from',
      [{ head: 'part' }, { head: 'pieces', figures: true }, { head: 'lot' }],
      lots.map((l) => ({
        cells: [l.name, String(l.count), l.keptBack ? `${l.lot}, kept back` : l.lot],
      })),
    )
  );
}
