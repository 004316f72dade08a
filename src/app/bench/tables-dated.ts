/**
 * Tables that come in as things that happened, each with its moment: movements of lots, what was measured, fitted and done. A row
 * whose moment and values stand in the workshop is there already, so that a table can be read twice.
 */
import { userError } from '../../core/units/index.ts';
import { streamOf, type UnitState } from '../../records/bench/index.ts';
import { formatInstant, parseInstant } from '../instant.ts';
import type { Deed } from './act.ts';
import { batchIn, gateIn, lotIn, planOfUnit, unitIn } from './find.ts';
import { judge } from './gates.ts';
import { drawInspection, tellInspection } from './inspection.ts';
import { moveStock, quarantineLot, releaseLot } from './stores.ts';
import {
  alike,
  type Cells,
  finder,
  happened,
  momentOf,
  onlyOnce,
  type Reading,
  sound,
  type TableIn,
  told,
  wordsOf,
} from './tables-read.ts';
import { fitPart, measureGate, noteMeasured, tickStep } from './units.ts';

export const sameMoment = (kept: string, at: string): boolean =>
  kept === at || formatInstant({ ...parseInstant(kept), utcOffset_min: 0 }) === at;

const lotNamed = ({ state }: Reading) => finder(state.lots, 'lot', (key) => lotIn(state, key));
export const unitNamed = ({ state }: Reading) => {
  const find = finder(state.units, 'unit', (typed) => unitIn(state, typed));
  return (typed: string): UnitState => find(state.units.has(typed) ? typed : typed.toUpperCase());
};

/** Movements that other tables bring. */
const ELSEWHERE = /^(?:received|fitted|taken out(?: to scrap)?)$/;

export const movements: TableIn = {
  fields: ['lot', 'at', 'change', 'why', 'note', 'unit', 'short'],
  needs: ['lot', 'at', 'change', 'why'],
  begin(reading) {
    const { state, take } = reading;
    const lotOf = lotNamed(reading);
    return {
      row(cells) {
        const lot = lotOf(cells.text('lot'));
        const movedAt = momentOf(cells, 'at');
        const why = cells.text('why');
        const change = cells.number('change');
        if (change === undefined) throw userError('import-row', 'change is empty');
        const note = told({ note: cells.text('note') });
        const preview = { lot: lot.key, at: movedAt, change, why, ...note };
        const known = lot.movements.some((m) => m.change === change && m.why === why && sameMoment(m.at, movedAt));
        if (known) return { preview, deeds: [] };
        if (ELSEWHERE.test(why)) {
          if (why !== 'received' && cells.text('unit') === '')
            throw userError(
              'import-row',
              `${why}: which unit? What is fitted is read with the table fitted or history`,
            );
          return { preview, deeds: [], elsewhere: true };
        }
        const content = { change, why, movedAt, ...note } as Parameters<typeof moveStock>[2];
        const [deed] = moveStock(state, lot.key, content, true);
        const deeds = [{ ...deed!, content: sound(deed!.content) }];
        if (lot.left + change < 0 && change < 0 && !cells.yes('short'))
          throw userError(
            'too-few',
            `lot ${lot.key} would show ${lot.left + change} after this row: count the lot first, or say yes in the column short`,
          );
        take(deeds);
        return { preview, deeds };
      },
    };
  },
};

export const gates: TableIn = {
  fields: ['serial', 'gate', 'value', 'at', 'uncertainty', 'instrument', 'note'],
  needs: ['serial', 'gate', 'value', 'at'],
  begin(reading) {
    const { state, take } = reading;
    const unitOf = unitNamed(reading);
    const stopped = new Map<string, string>();
    return {
      row(cells) {
        const unit = unitOf(cells.text('serial'));
        const gate = gateIn(planOfUnit(state, unit), cells.text('gate'));
        const measuredAt = momentOf(cells, 'at');
        const uncertainty = cells.number('uncertainty');
        const { value, verdict } = judge(gate, gateValue(cells, gate.measures), uncertainty);
        const preview = { serial: unit.serial, gate: gate.key, value, verdict, at: measuredAt };
        const tries = unit.gates.get(gate.key) ?? [];
        if (tries.some((t) => t.measured.value === value && sameMoment(t.at, measuredAt)))
          return { preview, deeds: [] };
        const before = stopped.get(unit.serial);
        if (before !== undefined)
          throw userError(
            'unit-stopped',
            `${unit.serial} fails at ${before} in an earlier row and is stopped by it; a rework between the two comes with the table history`,
          );
        const { instrument, note } = { instrument: cells.text('instrument'), note: cells.text('note') };
        const deeds = measureGate(state, unit.serial, {
          ...{ gate: gate.key, value, measuredAt },
          ...told<unknown>({ instrument, note, uncertainty }),
        }).map((deed) => ({ ...deed, content: sound(deed.content) }));
        if (verdict === 'failed') stopped.set(unit.serial, gate.name);
        take(deeds);
        return { preview, deeds };
      },
    };
  },
};

/** A text that passes a gate stays as it is written; a number may have a decimal comma. */
export const gateValue = (cells: Cells, measures: string): string =>
  ['firmware', 'settings'].includes(measures) ? cells.text('value') : cells.plain('value');

export const fitted: TableIn = {
  fields: ['serial', 'part', 'lot', 'count', 'at', 'short'],
  needs: ['serial', 'lot', 'count'],
  begin(reading) {
    const { state, take } = reading;
    const unitOf = unitNamed(reading);
    const lotOf = lotNamed(reading);
    const once = onlyOnce('unit and lot');
    return {
      row(cells, row) {
        const unit = unitOf(cells.text('serial'));
        const lot = lotOf(cells.text('lot'));
        const part = cells.text('part') || lot.part;
        once(`${unit.serial} ${lot.key}`, row);
        const count = cells.number('count');
        if (count === undefined) throw userError('import-row', 'count is empty');
        const at = cells.moment('at');
        const preview = { serial: unit.serial, part, lot: lot.key, count, ...told({ at }) };
        const held = unit.fitted.filter((f) => f.lot === lot.key).reduce((sum, f) => sum + f.count, 0);
        if (held === count) return { preview, deeds: [] };
        if (held > 0)
          throw userError(
            'import-exists',
            `${unit.serial} holds ${held} of lot ${lot.key} here, ${count} there: fit or take out the rest at the bench`,
          );
        const deeds = fitPart(state, unit.serial, { part, lot: lot.key, count, short: cells.yes('short') });
        return took(take, preview, deeds, at);
      },
    };
  },
};

export const steps: TableIn = {
  fields: ['serial', 'step', 'at', 'time_s'],
  needs: ['serial', 'step'],
  begin(reading) {
    const { state, take } = reading;
    const unitOf = unitNamed(reading);
    return {
      row(cells) {
        const unit = unitOf(cells.text('serial'));
        const step = cells.text('step');
        const at = cells.moment('at');
        const time_s = cells.number('time_s');
        const preview = { serial: unit.serial, step, ...told<unknown>({ at, time_s }) };
        const tick = unit.steps.get(step);
        if (tick !== undefined && (at === undefined || sameMoment(tick.at, at))) return { preview, deeds: [] };
        return took(take, preview, tickStep(state, unit.serial, step, time_s), at);
      },
    };
  },
};

export const measurements: TableIn = {
  fields: ['serial', 'field', 'value', 'low', 'high', 'how', 'at'],
  needs: ['serial', 'field', 'value', 'how'],
  begin(reading) {
    const { state, take } = reading;
    const unitOf = unitNamed(reading);
    return {
      row(cells) {
        const unit = unitOf(cells.text('serial'));
        const at = cells.moment('at');
        const { value, low, high } = {
          value: cells.number('value'),
          low: cells.number('low'),
          high: cells.number('high'),
        };
        const read = { field: cells.text('field'), how: cells.text('how'), ...told({ value, low, high }) };
        const preview = { serial: unit.serial, ...read, ...told({ at }) };
        const held = unit.measured.get(read.field);
        const stands = held !== undefined && Object.entries(read).every(([k, v]) => alike(held[k as 'field'], v));
        if (stands && (at === undefined || sameMoment(held.at, at))) return { preview, deeds: [] };
        return took(take, preview, noteMeasured(state, unit.serial, read as Parameters<typeof noteMeasured>[2]), at);
      },
    };
  },
};

/** The row with its deeds at its moment, tried. */
function took(
  take: Reading['take'],
  preview: Record<string, unknown>,
  decided: readonly Deed[],
  at: string | undefined,
) {
  const deeds = decided.map((deed) => happened({ ...deed, content: sound(deed.content) }, at));
  take(deeds);
  return { preview, deeds };
}

/** Papers of a batch's checklist, as they were noted; files that prove them come with the workshop's own export. */
export const papers: TableIn = {
  fields: ['batch', 'paper', 'state', 'evidence', 'at'],
  needs: ['batch', 'paper', 'state'],
  begin({ state, take }) {
    const batchNamed = finder(state.batches, 'batch', (key) => batchIn(state, key));
    return {
      row(cells) {
        const batch = batchNamed(cells.text('batch'));
        const at = cells.moment('at');
        const read = told({ paper: cells.text('paper'), state: cells.text('state'), evidence: cells.text('evidence') });
        const preview = { batch: batch.key, ...read, ...told({ at }) };
        const held = batch.papers.get(read['paper'] ?? '');
        const stands = held !== undefined && held.state === read['state'] && held.evidence === read['evidence'];
        if (stands) return { preview, deeds: [] };
        const content = sound({ kind: 'paper-noted', ...read });
        return took(take, preview, [{ stream: streamOf('batch', batch.key), content }], at);
      },
    };
  },
};

/** Incoming inspections. The draw is made again from its seed and must give the positions that the table names. */
export const inspections: TableIn = {
  fields: ['lot', 'drawn', 'level', 'aql_pct', 'severity', 'seed', 'positions', 'found', 'defective'],
  needs: ['lot', 'level', 'aql_pct', 'severity', 'seed', 'positions'],
  begin(reading) {
    const { state, take } = reading;
    const lotOf = lotNamed(reading);
    return {
      row(cells) {
        const lot = lotOf(cells.text('lot'));
        const seed = cells.number('seed');
        const positions = wordsOf(cells.text('positions')).map(Number);
        const drawn = cells.moment('drawn');
        const found = cells.moment('found');
        const preview = { lot: lot.key, sample: positions.length, ...told({ drawn, found }) };
        const held = lot.inspections.find((i) => i.seed === seed && alike(i.drawn, positions));
        const [draw] =
          held === undefined
            ? drawInspection(state, {
                lot: lot.key,
                seed: seed ?? Number.NaN,
                level: cells.text('level') as 'II',
                aql_pct: cells.number('aql_pct') ?? Number.NaN,
                severity: cells.text('severity') as 'normal',
              })
            : [];
        const fresh = draw === undefined ? [] : [happened({ ...draw, content: sound(draw.content) }, drawn)];
        if (draw?.content.kind === 'inspection-drawn' && !alike(draw.content.drawn, positions))
          throw userError(
            'import-draw',
            `seed ${seed} draws the positions ${draw.content.drawn.slice(0, 8).join(', ')} …, the table has others: a sample that was not drawn here is no inspection of this record; draw one (stores draw)`,
          );
        take(fresh);
        if (found === undefined || (held !== undefined && held.found !== null)) return { preview, deeds: fresh };
        const verdict = tellInspection(state, lot.key, defectsOf(cells.text('defective')));
        return { preview, deeds: [...fresh, ...took(take, preview, verdict, found).deeds] };
      },
    };
  },
};

/** `12 pin loose`, a line each. */
function defectsOf(text: string): { position: number; why: string }[] {
  return text
    .split(/\r?\n/)
    .filter((line) => line.trim() !== '')
    .map((line) => {
      const match = /^\s*(\d+)[ :]+(\S.*)$/.exec(line);
      if (match === null)
        throw userError('import-row', `defective "${line}": position and reason are wanted, 12 pin loose`);
      return { position: Number(match[1]), why: match[2]!.trim() };
    });
}

/** Lots kept back and released, in their order. */
export const quarantine: TableIn = {
  fields: ['lot', 'at', 'what', 'reason'],
  needs: ['lot', 'at', 'what', 'reason'],
  wantsEntries: true,
  begin(reading) {
    const { state, take, entries } = reading;
    const lotOf = lotNamed(reading);
    const known = new Set(
      entries.flatMap(({ stream, content, at }) =>
        content.kind === 'lot-quarantined' || content.kind === 'lot-released'
          ? [
              `${stream} ${content.kind} ${formatInstant({ ...parseInstant(content.happenedAt ?? at), utcOffset_min: 0 })} ${content.reason}`,
            ]
          : [],
      ),
    );
    return {
      row(cells) {
        const lot = lotOf(cells.text('lot'));
        const at = momentOf(cells, 'at');
        const what = cells.text('what');
        const reason = cells.text('reason');
        if (what !== 'quarantined' && what !== 'released')
          throw userError('import-row', `what "${what}": quarantined or released is wanted`);
        const preview = { lot: lot.key, at, what, reason };
        if (known.has(`${streamOf('lot', lot.key)} lot-${what} ${at} ${reason}`)) return { preview, deeds: [] };
        const decide = what === 'quarantined' ? quarantineLot : releaseLot;
        return took(take, preview, decide(state, lot.key, reason), at);
      },
    };
  },
};
