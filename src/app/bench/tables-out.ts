/** Every table of the bench as it goes out. Keys of radios are in none of them. */
import { amount, amountText } from '../../core/money/index.ts';
import { writeTable } from '../../formats/csv-table.ts';
import { asItHappened, type Entry, type Plan, streamKey } from '../../records/bench/index.ts';
import { formatInstant, parseInstant } from '../instant.ts';
import type { BenchState } from './state.ts';
import { HISTORY, historyRow, type Value } from './tables-history.ts';

/** Times with their offset, to the second, as they are read again. */
const time = (text: string | null | undefined): string | null =>
  text === null || text === undefined ? null : formatInstant({ ...parseInstant(text), utcOffset_min: 0 });
const money = (minor: number | undefined, currency: string | undefined): string | null =>
  minor === undefined || currency === undefined ? null : amountText(amount(minor, currency));
const yes = (value: boolean): string => (value ? 'yes' : 'no');
const list = (texts: readonly (string | number)[] | undefined): string => (texts ?? []).join(' ');
const orNull = <T>(value: T | undefined): T | null => value ?? null;

type Cells = readonly (Value | undefined)[];
interface Out {
  readonly titles: string;
  rows(state: BenchState, entries: readonly Entry[]): readonly Cells[];
}

const numbersOf = (state: BenchState) =>
  [...state.plans].flatMap(([key, all]) => all.map(({ plan, savedAt }, i) => ({ key, number: i + 1, plan, savedAt })));
const unitsOf = (state: BenchState) => [...state.units.values()];

/** Rows of the history of units, those of some kinds and columns. */
const happenings =
  (columns: readonly (typeof HISTORY)[number][], ...kinds: readonly string[]) =>
  (_: BenchState, entries: readonly Entry[]): Cells[] =>
    entries.flatMap((entry) => {
      const row = historyRow(entry);
      return row === undefined || (kinds.length > 0 && !kinds.includes(String(row.what)))
        ? []
        : [columns.map((column) => row[column])];
    });
const happening = (titles: string, ...kinds: readonly string[]): Out => ({
  titles,
  rows: happenings(titles.split(',') as (typeof HISTORY)[number][], ...kinds),
});

/** In the order in which they are read into an empty workshop; those behind `papers` are looks at the ones before. */
export const TABLES_OUT: Readonly<Record<string, Out>> = {
  parts: {
    titles:
      'key,name,is,measured,inspection_level,inspection_aql_pct,cell_capacity_mAh,cell_nominal_V,cell_lithium,note,saved',
    rows: (state) =>
      [...state.parts.values()].map((p) => [
        ...[p.key, p.name, p.is, p.measured, p.inspection?.level, p.inspection?.aql_pct],
        ...[p.cell?.capacity_mAh, p.cell?.nominal_V, p.cell === undefined ? null : yes(p.cell.lithium)],
        ...[p.note, time(p.savedAt)],
      ]),
  },
  approvals: {
    titles: 'part,region,grant,antenna,gain_dBi',
    rows: (state) =>
      [...state.parts.values()].flatMap((p) =>
        (p.approvals ?? []).map((a) => [p.key, a.region, a.grant, a.antenna, a.gain_dBi]),
      ),
  },
  offers: {
    titles:
      'part,supplier,offer,currency,from,price,per,minimum,pack,leadTime_d,leadTimeSpread_d,freight,duty_pct,fees,asked',
    rows: (state) =>
      [...state.parts.values()].flatMap((p) => {
        const counts = new Map<string, number>();
        return p.offers.flatMap((o) => {
          const number = (counts.get(o.supplier) ?? 0) + 1;
          counts.set(o.supplier, number);
          return o.breaks.map((b) => [
            ...[p.key, o.supplier, number, o.currency, b.from, money(b.price_minor, o.currency), b.per],
            ...[o.minimum, o.pack, o.leadTime_d, o.leadTimeSpread_d, money(o.freight_minor, o.currency)],
            ...[o.duty_pct, money(o.fees_minor, o.currency), o.asked],
          ]);
        });
      }),
  },
  plans: {
    titles: 'key,number,name,kit,kitRevision,saved,file',
    rows: (state) =>
      numbersOf(state).map(({ key, number, plan, savedAt }) => {
        const { kind: _, ...file } = plan;
        return [key, number, plan.name, plan.kit, plan.kitRevision, time(savedAt), JSON.stringify(file)];
      }),
  },
  orders: {
    titles:
      'key,customer,plan,count,region,place,latitude_deg,longitude_deg,due,price,currency,note,placed,cancelled,reserved,shipped',
    rows: (state) =>
      [...state.orders.values()].map((o) => [
        ...[o.key, o.customer, o.plan, o.count, o.region, o.place?.name, o.place?.latitude_deg],
        ...[o.place?.longitude_deg, o.due, money(o.price_minor, o.currency), o.currency, o.note],
        ...[time(o.placedAt), yes(o.cancelled), o.reserved.size, o.shipped.size],
      ]),
  },
  lots: {
    titles: 'key,part,count,supplier,supplierLot,currency,goods,freight,duty,fees,note,received,by,left,quarantined',
    rows: (state) =>
      [...state.lots.values()].map((l) => [
        ...[l.key, l.part, l.count, l.supplier, l.supplierLot, l.currency],
        ...[l.goods_minor, l.freight_minor, l.duty_minor, l.fees_minor].map((m) => money(m, l.currency)),
        ...[l.note, time(l.receivedAt), l.receivedBy, l.left, l.quarantined],
      ]),
  },
  movements: { titles: 'lot,at,by,change,why,note,unit,short', rows: movementRows },
  batches: {
    titles: 'key,name,plan,planNumber,count,region,prefix,due,made,opened,closed',
    rows: (state) =>
      [...state.batches.values()].map((b) => [
        ...[b.key, b.name, b.plan, b.planNumber, b.count, b.region, b.prefix, b.due, b.serials.length],
        ...[time(b.openedAt), time(b.closedAt)],
      ]),
  },
  units: {
    titles: 'serial,batch,position,made,stage,order,reworks,returns,swappedFor,perch,keys',
    rows: (state) =>
      unitsOf(state).map((u) => [
        ...[u.serial, u.batch, u.position, time(u.madeAt), u.stage, u.order, u.reworks, u.returns],
        ...[u.swappedFor, u.installed?.perch],
        // How many, so that one knows what to keep anew; what they are stays in the workshop.
        u.secrets.length,
      ]),
  },
  history: {
    titles: HISTORY.join(','),
    rows: (state, entries) => {
      const short = new Set([...state.lots.values()].filter((l) => l.left < 0).map((l) => l.key));
      const what = HISTORY.indexOf('what');
      const lot = HISTORY.indexOf('lot');
      return happenings(HISTORY)(state, entries).map((row) =>
        row[what] === 'fitted' && short.has(String(row[lot])) ? [...row.slice(0, -1), 'yes'] : row,
      );
    },
  },
  inspections: {
    titles:
      'lot,drawn,level,aql_pct,severity,seed,positions,found,by,verdict,defective,lotSize,letter,sample,accept,reject',
    rows: (state) =>
      [...state.lots.values()].flatMap((l) =>
        l.inspections.map((i) => [
          ...[l.key, time(i.drawnAt), i.level, i.aql_pct, i.severity, i.seed, list(i.drawn)],
          ...[time(i.found?.at), i.found?.by, i.found?.verdict],
          i.found?.defective.map((d) => `${d.position} ${d.why.replace(/\s+/g, ' ')}`).join('\n'),
          ...[i.lotSize, i.letter, i.sample, i.accept, i.reject],
        ]),
      ),
  },
  quarantine: {
    titles: 'lot,at,by,what,reason',
    rows: (_, entries) =>
      entries
        .map(asItHappened)
        .flatMap(({ stream, at, by, content: c }) =>
          c.kind === 'lot-quarantined' || c.kind === 'lot-released'
            ? [[streamKey(stream), time(at), by, c.kind.slice('lot-'.length), c.reason]]
            : [],
        ),
  },
  papers: {
    titles: 'batch,paper,state,evidence,at,by',
    rows: (state) =>
      [...state.batches.values()].flatMap((b) =>
        [...b.papers.values()].map((p) => [b.key, p.paper, p.state, p.evidence, time(p.at), p.by]),
      ),
  },
  evidence: {
    titles: 'batch,paper,name,type,bytes,sha256,at,by,setAside',
    rows: (state) =>
      [...state.batches.values()].flatMap((b) =>
        [...b.evidence.values()].flatMap((files) =>
          files.map((f) => [b.key, f.paper, f.name, f.type, f.bytes, f.sha256, time(f.at), f.by, f.setAside?.reason]),
        ),
      ),
  },
  drawings: {
    titles: 'plan,step,name,type,bytes,sha256,at,by',
    rows: (_, entries) =>
      entries.flatMap(({ stream, at, by, content: c }) =>
        c.kind === 'drawing-kept' ? [[streamKey(stream), c.step, c.name, c.type, c.bytes, c.sha256, time(at), by]] : [],
      ),
  },
  bom: {
    titles: 'plan,number,subassembly,subassembly_name,subassembly_count,part,count,scrap_pct,alternates,use',
    rows: (state) =>
      numbersOf(state).flatMap(({ key, number, plan }) => [
        ...plan.bom.map((line) => [key, number, null, null, null, ...useOf(line)]),
        ...plan.subassemblies.flatMap((s) =>
          s.bom.map((line) => [key, number, s.key, s.name, s.count, ...useOf(line)]),
        ),
      ]),
  },
  'plan-steps': {
    titles: 'plan,number,position,key,name,tool,drawing,caution,time_min,parts,gates',
    rows: (state) =>
      numbersOf(state).flatMap(({ key, number, plan }) =>
        plan.steps.map((s, i) => [
          ...[
            key,
            number,
            i + 1,
            s.key,
            s.name,
            s.tool,
            s.drawing,
            s.caution,
            s.time_min,
            list(s.parts),
            list(s.gates),
          ],
        ]),
      ),
  },
  'plan-gates': {
    titles: 'plan,number,key,name,measures,unit,low,high,uncertainty,from_MHz,to_MHz,equals,required',
    rows: (state) =>
      numbersOf(state).flatMap(({ key, number, plan }) =>
        plan.gates.map((g) => [
          ...[key, number, g.key, g.name, g.measures, g.unit, g.low, g.high, g.uncertainty],
          ...[g.band?.from_MHz, g.band?.to_MHz, g.equals, yes(g.required)],
        ]),
      ),
  },
  fitted: {
    titles: 'serial,part,lot,count,at,by,short',
    rows: (state) => unitsOf(state).flatMap((u) => fittedIn(state, u)),
  },
  steps: {
    titles: 'serial,step,at,by,time_s',
    rows: (state) =>
      unitsOf(state).flatMap((u) => [...u.steps].map(([step, t]) => [u.serial, step, time(t.at), t.by, t.time_s])),
  },
  gates: {
    titles: 'serial,gate,value,verdict,at,by,counts,low,high,uncertainty,instrument,note',
    rows: (state) =>
      unitsOf(state).flatMap((u) =>
        [...u.gates].flatMap(([gate, tries]) =>
          tries.map(({ measured: m, at, by, corrected, reopened }) => [
            ...[u.serial, gate, typeof m.value === 'boolean' ? yes(m.value) : m.value, m.verdict, time(at), by],
            ...[yes(!corrected && !reopened), m.low, m.high, m.uncertainty, m.instrument, m.note],
          ]),
        ),
      ),
  },
  measurements: {
    titles: 'serial,field,value,low,high,how,at',
    rows: (state) =>
      unitsOf(state).flatMap((u) =>
        [...u.measured.values()].map((m) => [u.serial, m.field, m.value, m.low, m.high, m.how, time(m.at)]),
      ),
  },
  reworks: happening('serial,at,by,gate,step,reason', 'rework'),
  overrides: happening('serial,at,by,gate,name,reason', 'overridden'),
  reservations: {
    titles: 'serial,order',
    rows: (state) => unitsOf(state).flatMap((u) => (u.order === null ? [] : [[u.serial, u.order]])),
  },
  shipments: happening('serial,at,by,order,rested_V,temperature_degC,charge_pct,carrier', 'shipped'),
  returns: happening('serial,at,by,what,reason,cause,time_s,other', 'returned', 'repaired', 'swapped', 'scrapped'),
};

const useOf = (line: Plan['bom'][number]): Cells => [
  ...[line.part, line.count, line.scrap_pct, list(line.alternates), line.use],
];

/** Pieces of each lot that a unit holds, with the moment at which the first went in. */
function fittedIn(state: BenchState, unit: ReturnType<typeof unitsOf>[number]): Cells[] {
  const held = new Map<string, { part: string; count: number; at: string; by: string }>();
  for (const { part, lot, count, at, by } of unit.fitted) {
    const known = held.get(lot);
    if (known !== undefined) known.count += count;
    else held.set(lot, { part, count, at, by });
  }
  return [...held]
    .filter(([, { count }]) => count > 0)
    .map(([lot, { part, count, at, by }]) => [
      ...[unit.serial, part, lot, count, time(at), by],
      (state.lots.get(lot)?.left ?? 0) < 0 ? 'yes' : null,
    ]);
}

/** Each lot's movements by their time; `short` where one took more than the stores knew of. */
function movementRows(state: BenchState, entries: readonly Entry[]): Cells[] {
  const moves = new Map<string, { at: string; change: number; cells: Cells }[]>(
    [...state.lots.keys()].map((lot) => [lot, []]),
  );
  const add = (lot: string, change: number, why: string, { at, by }: Entry, note?: string, unit?: string) =>
    moves.get(lot)?.push({ at: time(at)!, change, cells: [lot, time(at), by, change, why, note, unit] });
  for (const entry of entries.map(asItHappened)) {
    const { stream, content: c } = entry;
    const key = streamKey(stream);
    if (c.kind === 'lot-received') add(key, c.count, 'received', entry);
    else if (c.kind === 'stock-moved') add(key, c.change, c.why, { ...entry, at: c.movedAt ?? entry.at }, c.note);
    else if (c.kind === 'part-fitted') add(c.lot, -c.count, 'fitted', entry, undefined, key);
    else if (c.kind === 'part-taken-out' && c.to === 'stores') add(c.lot, c.count, 'taken out', entry, undefined, key);
    else if (c.kind === 'part-taken-out') add(c.lot, 0, 'taken out to scrap', entry, undefined, key);
  }
  return [...moves.values()].flatMap((all) => {
    let left = 0;
    return all
      .sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0))
      .map(({ change, cells }) => {
        left += change;
        return [...cells, left < 0 && change < 0 ? 'yes' : null];
      });
  });
}

/**
 * Every table by its name, as CSV text.
 *
 * @param entries all that stands in the workshop, as the state has it
 */
export function exportTables(state: BenchState, entries: readonly Entry[]): Readonly<Record<string, string>> {
  if (entries.length !== state.head) throw new RangeError(`${entries.length} entries for a bench at ${state.head}`);
  return Object.fromEntries(
    Object.entries(TABLES_OUT).map(([name, { titles, rows }]) => [
      name,
      writeTable(
        titles.split(','),
        rows(state, entries).map((cells) => cells.map(orNull)),
      ),
    ]),
  );
}
