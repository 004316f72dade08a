/** What happened to a unit, entry by entry, in sentences. Keys of its radio are named, never shown. */
import { asItHappened, type Content, type Entry, type Plan, UNIT_FIELDS } from '../../records/bench/index.ts';
import { gateUnit } from './gates.ts';

export interface HistoryRow {
  readonly number: number;
  /** UTC, ISO 8601. */
  readonly at: string;
  /** When the hand did it by the clock of its own device, where that was told. */
  readonly notedAt: string | null;
  readonly by: string;
  readonly kind: string;
  readonly what: string;
  /** Name and digest of the file that stands behind it. */
  readonly file: { readonly name: string; readonly sha256: string } | null;
  /** Number of the row that this one puts right. */
  readonly corrects: number | null;
}

export function historyOf(entries: readonly Entry[], plan: Plan): HistoryRow[] {
  return entries.map((entry) => {
    const { number, at, by, content, corrects } = asItHappened(entry);
    const later = at === entry.at ? '' : `; written down on ${entry.at.slice(0, 10)}`;
    return {
      ...{ number, at, by, kind: content.kind, corrects, notedAt: content.notedAt ?? null },
      what: `${sentenceOf(content, plan)}${later}`,
      file: 'file' in content ? (content.file ?? null) : null,
    };
  });
}

const pieces = (n: number, part: string, lot: string) => `${n} × ${part} of lot ${lot}`;
const listed = (keys: readonly string[], nameOf: (key: string) => string) => keys.map(nameOf).join(', ');

function sentenceOf(c: Content, plan: Plan): string {
  const step = (key: string) => plan.steps.find((s) => s.key === key)?.name ?? key;
  const gateOf = (key: string) => plan.gates.find((g) => g.key === key);
  const gate = (key: string) => gateOf(key)?.name ?? key;
  switch (c.kind) {
    case 'unit-made':
      return `numbered as ${c.position} of batch ${c.batch}`;
    case 'part-fitted':
      return `fitted ${pieces(c.count, c.part, c.lot)}`;
    case 'part-taken-out':
      return `took out ${pieces(c.count, c.part, c.lot)}, to ${c.to === 'scrap' ? 'scrap' : 'the stores'}`;
    case 'step-ticked':
      return `ticked ${step(c.step)}${c.time_s === undefined ? '' : `, ${Math.round(c.time_s)} s`}`;
    case 'step-unticked':
      return `took the tick of ${step(c.step)} back`;
    case 'gate-measured': {
      const found = gateOf(c.gate);
      const unit = found === undefined ? '' : gateUnit(found);
      const value = typeof c.value === 'boolean' ? (c.value ? 'yes' : 'no') : c.value;
      const note = c.note === undefined ? '' : `: ${c.note}`;
      return `measured ${gate(c.gate)}: ${value}${unit === '' ? '' : ` ${unit}`}, ${c.verdict}${c.uncertainty === undefined ? '' : `, ± ${c.uncertainty}`}${c.instrument === undefined ? '' : `, with ${c.instrument}`}${c.measuredAt === undefined ? '' : `, on ${c.measuredAt.slice(0, 16).replace('T', ' ')} UTC`}${note}`;
    }
    case 'gate-overridden':
      return `overrode ${gate(c.gate)}; ${c.name} answers for it: ${c.reason}`;
    case 'rework-begun':
      return `began a rework: ${c.reason}; to measure again: ${listed(c.gates, gate)}${c.steps.length === 0 ? '' : `; to do again: ${listed(c.steps, step)}`}`;
    case 'unit-reserved':
      return `kept for order ${c.order}`;
    case 'unit-freed':
      return 'freed from its order';
    case 'unit-shipped':
      return `shipped${c.order === undefined ? '' : ` for order ${c.order}`}${c.charge_pct === undefined ? '' : `, charged to ${c.charge_pct} %`}${c.carrier === undefined ? '' : `, with ${c.carrier}`}`;
    case 'unit-returned':
      return `came back${c.cause === undefined ? '' : ` (${c.cause})`}: ${c.reason}`;
    case 'unit-repaired':
      return `repaired${c.cause === undefined ? '' : ` (it was: ${c.cause})`}: ${c.what}`;
    case 'unit-swapped':
      return `swapped for ${c.for}`;
    case 'unit-installed':
      return `put up at ${c.perch}`;
    case 'unit-scrapped':
      return `scrapped: ${c.reason}`;
    case 'unit-measured':
      return `${UNIT_FIELDS[c.field]}: ${c.value}${c.low === undefined || c.high === undefined ? '' : ` (${c.low} to ${c.high})`}, ${c.how}`;
    case 'secret-kept':
      return `kept a key: ${c.name}`;
    case 'passport-published':
      return `published its passport with ${c.show.length === 0 ? 'nothing on it' : c.show.join(', ')}`;
    default:
      return c.kind;
  }
}
