/** The passport of a unit: what its maker chose to show, read from the bench. No key, no customer, no person, no free remark. */
import {
  codeText,
  countingTry,
  type Gate,
  gateState,
  MEASURES,
  type PassportPart,
  type Plan,
  streamOf,
  type UnitState,
  variantOf,
} from '../../records/bench/index.ts';
import { type Passport, type PassportGate, passportPage } from '../../report/index.ts';
import type { Deed } from './act.ts';
import { makerOf } from './certificate-of.ts';
import { batchIn, planOfUnit, unitIn } from './find.ts';
import { gateUnit, limitText } from './gates.ts';
import { batchPapers } from './market-papers.ts';
import type { BenchState } from './state.ts';
import { linesOf } from './units.ts';

/** Notes what is shown; choosing again takes its place. */
export function publishPassport(state: BenchState, serial: string, show: readonly PassportPart[]): Deed[] {
  const unit = unitIn(state, serial);
  return [{ stream: streamOf('unit', unit.serial), content: { kind: 'passport-published', show: [...new Set(show)] } }];
}

/**
 * The passport with the parts in `show`. Text that somebody typed beside a measurement (instrument, note, reason, a recorded
 * text that the plan does not ask for) is left out: it may name a person or hold a key.
 *
 * @param day of the page, ISO 8601
 */
export function passportOf(state: BenchState, serial: string, show: readonly string[], day: string): Passport {
  const unit = unitIn(state, serial);
  const plan = planOfUnit(state, unit);
  const batch = batchIn(state, unit.batch);
  const shows = new Set(show);
  const settings = variantOf(plan, batch.region)?.settings;
  const when = <T extends object>(part: PassportPart, make: () => T): T | Record<never, never> =>
    shows.has(part) ? make() : {};
  return {
    serial: unit.serial,
    day,
    ...when('kit', () => ({
      kit: {
        name: plan.name,
        facts: [
          ['kit', plan.name],
          ['revision', plan.kitRevision],
          ['region', batch.region],
          ...(settings === undefined ? [] : [['settings', settings] as const]),
        ] as const,
      },
    })),
    ...when('made', () => ({
      made: [
        ['maker', makerOf(plan)],
        ['batch', `${batch.name}, unit ${unit.position} of ${batch.count}`],
        ['numbered', unit.madeAt.slice(0, 10)],
      ] as const,
    })),
    ...when('gates', () => ({ gates: plan.gates.flatMap((gate) => gateOf(unit, gate)) })),
    ...when('lots', () => ({
      lots: unit.fitted
        .filter((f) => f.count > 0)
        .map(({ part, lot, count }) => ({
          ...{ name: state.parts.get(part)?.name ?? part, lot, count },
          keptBack: state.lots.get(lot)?.quarantined != null,
        })),
    })),
    ...when('papers', () => ({
      // What is missing is the maker's own list; a page for everybody tells what is there.
      papers: batchPapers(state, batch.key, { day })
        .papers.filter((row) => row.state === 'there')
        .map((row) => ({ name: row.name, state: row.state })),
    })),
    ...when('care', () => ({ care: careOf(state, plan) })),
    ...when('shipped', () => ({ shipped: { day: unit.shipped?.at.slice(0, 10) ?? null } })),
  };
}

/** Where the code on its label leads, and its passport is to be hosted; null where the plan has no address for labels. */
export function passportAddress(state: BenchState, serial: string): string | null {
  const unit = unitIn(state, serial);
  const { labelUrl } = planOfUnit(state, unit);
  return labelUrl === undefined ? null : codeText(labelUrl, unit.serial);
}

/** The same as a whole HTML file. */
export const passportFile = (...asked: Parameters<typeof passportOf>): string => passportPage(passportOf(...asked));

/** A gate that is neither required nor was ever measured says nothing. */
function gateOf(unit: UnitState, gate: Gate): PassportGate[] {
  const tries = unit.gates.get(gate.key)?.length ?? 0;
  const state = gateState(unit, gate.key);
  if (!gate.required && tries === 0 && state === 'open') return [];
  const counts = countingTry(unit, gate.key);
  return [
    {
      name: gate.name,
      limits: limitText(gate),
      value: counts === undefined ? '' : valueText(gate, counts.measured.value),
      state,
      tries,
      day: counts?.at.slice(0, 10) ?? '',
    },
  ];
}

function valueText(gate: Gate, value: number | boolean | string): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  const unit = gateUnit(gate);
  if (typeof value === 'number') return unit === '' ? String(value) : `${value} ${unit}`;
  // A text that is not the one of the plan was typed freely: a setting may hold a key of the radio.
  return MEASURES[gate.measures].value === 'text' && value === gate.equals ? value : 'recorded';
}

/** Common practice, no source, but what is known of lithium (see the certificate). */
function careOf(state: BenchState, plan: Plan): string[] {
  const cells = linesOf(plan).flatMap(({ part }) => state.parts.get(part)?.cell ?? []);
  const lithium = cells.length === 0 || cells.some((cell) => cell.lithium);
  return [
    'Screw the antenna on before it is switched on; the antenna stands upright and clear of metal.',
    'Look at panel, gaskets and cable glands once a year, and after storms; wash dust and droppings off with water.',
    ...(lithium
      ? [
          'Lithium-ion cells inside: do not open, crush or heat above 60 °C. Do not charge them below 0 °C.',
          'Stored cells keep best half charged and cool; a swollen or dented cell is not used again.',
        ]
      : []),
    'At its end cells go to battery collection, the rest to collection of electronic waste.',
  ];
}
