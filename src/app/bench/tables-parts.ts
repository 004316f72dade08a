/** Tables of what belongs to a part or a plan, several rows to one: offers, approvals, plans, bills of materials. */
import { type Problem, UserError, userError } from '../../core/units/index.ts';
import { type ContentOf, type Offer, type Plan, streamOf } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { partIn, planIn } from './find.ts';
import type { PartState } from './state.ts';
import {
  alike,
  type Cells,
  type Ended,
  finder,
  keyOf,
  type Reading,
  sound,
  type TableIn,
  told,
  wordsOf,
} from './tables-read.ts';

type Group<T> = Map<string, { readonly row: number; rows: number; readonly of: T }>;

/** Ends a table of groups: each is decided by itself, and what is wrong with one is told at its first row. */
function endGroups<T>(
  groups: Group<T>,
  take: Reading['take'],
  decide: (key: string, group: T) => readonly Deed[],
): Ended {
  const deeds: Deed[] = [];
  const problems: { row: number; message: string }[] = [];
  let same = 0;
  for (const [key, { row, rows, of }] of groups)
    try {
      const decided = decide(key, of);
      if (decided.length === 0) same += rows;
      take(decided);
      deeds.push(...decided);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      problems.push({ row, message: `${key}: ${error.problems.map((p: Problem) => p.message).join('; ')}` });
    }
  return { deeds, same, problems };
}

function groupOf<T>(groups: Group<T>, key: string, row: number, fresh: () => T): T {
  const group = groups.get(key) ?? { row, rows: 0, of: fresh() };
  group.rows++;
  groups.set(key, group);
  return group.of;
}

/** The part with something else in it. */
function partWith(
  { key, number: _n, savedAt: _s, ...part }: PartState,
  change: Partial<ContentOf<'part-saved'>>,
): Deed {
  return { stream: streamOf('part', key), content: sound({ ...part, ...change }) };
}

interface Told {
  readonly row: number;
  readonly terms: Record<string, unknown>;
  readonly breaks: Offer['breaks'];
}

/**
 * Prices by quantity, a row each. Rows of one part and supplier (and number, where a supplier has several) are one offer; a
 * supplier's offers for a part become those of the file, those of other suppliers stay.
 */
export const offers: TableIn = {
  fields: [
    ...['part', 'supplier', 'offer', 'currency', 'from', 'price', 'per', 'minimum', 'pack', 'leadTime_d'],
    ...['leadTimeSpread_d', 'freight', 'duty_pct', 'fees', 'asked'],
  ],
  needs: ['part', 'supplier', 'currency', 'price'],
  begin({ state, take }) {
    const groups: Group<Map<string, Told>> = new Map();
    const partNamed = finder(state.parts, 'part', (key) => partIn(state, key));
    return {
      row(cells, row) {
        const part = keyOf(cells, 'part');
        partNamed(part);
        const currency = cells.text('currency');
        const terms = {
          ...told<unknown>({
            supplier: cells.text('supplier'),
            currency,
            minimum: cells.number('minimum'),
            pack: cells.number('pack'),
          }),
          leadTime_d: cells.number('leadTime_d') ?? 0,
          ...told<unknown>({
            leadTimeSpread_d: cells.number('leadTimeSpread_d'),
            freight_minor: cells.sum('freight', currency),
            duty_pct: cells.number('duty_pct'),
            fees_minor: cells.sum('fees', currency),
            asked: cells.text('asked'),
          }),
        } as Record<string, unknown>;
        const price_minor = cells.sum('price', currency);
        if (price_minor === undefined) throw userError('import-row', 'price is empty');
        const from = cells.number('from') ?? 1;
        const per = cells.number('per') ?? 1;
        // Looked at as an offer of one price, so that what is wrong is told at this row.
        sound({ kind: 'part-saved', name: 'x', offers: [{ ...terms, breaks: [{ from, price_minor, per }] }] });
        const supplier = String(terms['supplier']);
        const name = `${supplier}\n${cells.text('offer') || '1'}`;
        const offer = groups.get(part)?.of.get(name) ?? { row, terms, breaks: [] };
        for (const [field, value] of Object.entries(terms))
          if (!alike(offer.terms[field], value))
            throw userError(
              'offer-parted',
              `${field} is ${String(value)} here and ${String(offer.terms[field] ?? 'empty')} in row ${offer.row}: rows of one part and supplier are one offer with prices by quantity; number them in the column offer if there are two`,
            );
        if (offer.breaks.some((b) => b.from === from))
          throw userError('import-twice', `${supplier} has two prices for ${part} from ${from} on: which one holds?`);
        offer.breaks.push({ from, price_minor, per });
        groupOf(groups, part, row, () => new Map<string, Told>()).set(name, offer);
        return { preview: { part, ...terms, from, price_minor, per }, deeds: [], grouped: true };
      },
      end: () =>
        endGroups(groups, take, (key, read) => {
          const part = state.parts.get(key)!;
          const fresh = [...read.values()].map(({ terms, breaks }) => ({
            ...terms,
            breaks: [...breaks].sort((a, b) => a.from - b.from),
          }));
          const suppliers = new Set(fresh.map((o) => (o as unknown as Offer).supplier));
          const deed = partWith(part, {
            offers: [...part.offers.filter((o) => !suppliers.has(o.supplier)), ...(fresh as unknown as Offer[])],
          });
          const after = (deed.content as ContentOf<'part-saved'>).offers;
          const ordered = (all: readonly Offer[]) => all.map((o) => JSON.stringify(o)).sort();
          return alike(ordered(after), ordered(part.offers)) ? [] : [deed];
        }),
    };
  },
};

/** What radio modules were approved with. A part's approvals become those of the file. */
export const approvals: TableIn = {
  fields: ['part', 'region', 'grant', 'antenna', 'gain_dBi'],
  needs: ['part', 'region', 'grant'],
  begin({ state, take }) {
    const groups: Group<Record<string, unknown>[]> = new Map();
    const partNamed = finder(state.parts, 'part', (key) => partIn(state, key));
    return {
      row(cells, row) {
        const part = keyOf(cells, 'part');
        partNamed(part);
        const approval = told<unknown>({
          region: cells.text('region'),
          grant: cells.text('grant'),
          antenna: cells.text('antenna'),
          gain_dBi: cells.number('gain_dBi'),
        });
        sound({ kind: 'part-saved', name: 'x', approvals: [approval] });
        groupOf(groups, part, row, (): Record<string, unknown>[] => []).push(approval);
        return { preview: { part, ...approval }, deeds: [], grouped: true };
      },
      end: () =>
        endGroups(groups, take, (key, read) => {
          const part = state.parts.get(key)!;
          const deed = partWith(part, { approvals: read as unknown as NonNullable<PartState['approvals']> });
          return alike((deed.content as ContentOf<'part-saved'>).approvals, part.approvals) ? [] : [deed];
        }),
    };
  },
};

/** Plans with everything in them, as `batch plan` reads them from a file: the column `file` holds it as JSON. */
export const plans: TableIn = {
  fields: ['key', 'number', 'file'],
  needs: ['key', 'file'],
  begin({ state, take }) {
    return {
      row(cells) {
        const key = keyOf(cells);
        const plan = sound({ kind: 'plan-saved', ...(parsed(cells.text('file')) as object) });
        const all = state.plans.get(key) ?? [];
        const number = cells.number('number') ?? (alike(all.at(-1)?.plan, plan) ? all.length : all.length + 1);
        const { name, kit, kitRevision } = plan as Plan;
        const preview = { key, number, name, kit, kitRevision };
        const standing = all[number - 1]?.plan;
        if (standing !== undefined && alike(standing, plan)) return { preview, deeds: [] };
        if (number !== all.length + 1)
          throw userError(
            'import-number',
            standing === undefined
              ? `number ${number} of plan ${key} cannot follow ${all.length}: import the numbers in their order`
              : `plan ${key} has a number ${number} already, another one: take the number out of the row to save it as number ${all.length + 1}`,
          );
        const deeds = [{ stream: streamOf('plan', key), content: plan }];
        take(deeds);
        return { preview, deeds };
      },
    };
  },
};

function parsed(text: string): unknown {
  try {
    const value: unknown = JSON.parse(text);
    if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value;
  } catch {
    // Told below.
  }
  throw userError(
    'import-plan',
    'file holds no plan as JSON: plans come from a table that was exported here, or from a YAML file by `batch plan`',
  );
}

interface Bill {
  readonly number: number;
  readonly lines: {
    readonly sub: string;
    readonly name: string;
    readonly count: number | undefined;
    readonly line: unknown;
  }[];
}

/** Lines of a bill of materials. A plan whose bill differs gets a new number with that of the file; steps and gates stay. */
export const bom: TableIn = {
  fields: [
    ...['plan', 'number', 'subassembly', 'subassembly_name', 'subassembly_count', 'part', 'count', 'scrap_pct'],
    ...['alternates', 'use'],
  ],
  needs: ['plan', 'part', 'count'],
  begin({ state, take }) {
    const groups: Group<{ newest: Bill }> = new Map();
    const planNamed = finder(state.plans, 'plan', (key) => planIn(state, key));
    const partNamed = finder(state.parts, 'part', (key) => partIn(state, key));
    return {
      row(cells, row) {
        const plan = keyOf(cells, 'plan');
        planNamed(plan);
        partNamed(keyOf(cells, 'part'));
        const line = lineOf(cells);
        const sub = cells.text('subassembly') === '' ? '' : keyOf(cells, 'subassembly');
        const number = cells.number('number') ?? 0;
        const preview = { plan, ...(sub === '' ? {} : { subassembly: sub }), ...(line as object) };
        // Bills of older numbers stand in the file too: they come with the plans.
        if (number > 0 && number < (groups.get(plan)?.of.newest.number ?? state.plans.get(plan)!.length))
          return { preview, deeds: [], elsewhere: true };
        const group = groupOf(groups, plan, row, () => ({ newest: { number, lines: [] } as Bill }));
        if (number > group.newest.number) group.newest = { number, lines: [] };
        const name = cells.text('subassembly_name');
        group.newest.lines.push({ sub, name, count: cells.number('subassembly_count'), line });
        return { preview, deeds: [], grouped: true };
      },
      end: () =>
        endGroups(groups, take, (key, { newest }) => {
          const { plan } = planIn(state, key);
          const bill = billOf(plan, newest);
          const content = sound({ ...plan, ...bill }) as Plan;
          return alike([content.bom, content.subassemblies], [plan.bom, plan.subassemblies])
            ? []
            : [{ stream: streamOf('plan', key), content }];
        }),
    };
  },
};

const lineOf = (cells: Cells): unknown =>
  told<unknown>({
    part: cells.text('part'),
    count: cells.number('count'),
    scrap_pct: cells.number('scrap_pct'),
    alternates: wordsOf(cells.text('alternates')),
    use: cells.text('use'),
  });

/** A sub-assembly that the plan has keeps its name and count where the rows do not tell them. */
function billOf(plan: Plan, { lines }: Bill) {
  const keys = [...new Set(lines.map((l) => l.sub).filter(Boolean))];
  const subassemblies = keys.map((key) => {
    const mine = lines.filter((l) => l.sub === key);
    const before = plan.subassemblies.find((s) => s.key === key);
    return {
      key,
      name: mine.find((l) => l.name !== '')?.name ?? before?.name ?? key,
      count: mine.find((l) => l.count !== undefined)?.count ?? before?.count ?? 1,
      bom: mine.map((l) => l.line),
    };
  });
  return { bom: lines.filter((l) => l.sub === '').map((l) => l.line), subassemblies };
}
