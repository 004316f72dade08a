// source: the issue "The bench": a certificate shows every gate, try and override; keys and customers stand on no label,
// certificate, card or carton; a packing list names the customer only as whom it goes to.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { kitOfPlan } from '../../../src/app/bench/kit-of-plan.ts';
import { placeOrder, reserveUnits } from '../../../src/app/bench/leaving.ts';
import { makePaper } from '../../../src/app/bench/make-paper.ts';
import type { PaperOutcome } from '../../../src/app/bench/papers-of.ts';
import { beginRework, keepSecret, measureGate, overrideGate } from '../../../src/app/bench/units.ts';
import type { Revision } from '../../../src/app/store-port.ts';
import { setWith } from '../../../src/cli/bench-paper.ts';
import { UserError } from '../../../src/core/units/index.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { checkLayout } from '../../../src/papers/index.ts';
import { type PaperRequest, paperRequest, readLabelLayout, readPlan } from '../../../src/records/bench/index.ts';
import { LABEL_LAYOUTS } from '../../../src/records/bench/label-layouts.ts';
import { testFonts } from '../../papers/fonts.ts';
import { codesIn, hasDecoder, hasPoppler, textIn } from '../../papers/tools.ts';
import { PLAN, type TestBench, testBench } from './bench.ts';

const example = (name: string) => readFileSync(new URL(`../../../examples/${name}`, import.meta.url), 'utf8');
const layoutOf = (name: string) => readLabelLayout(parseYamlRecord(example(`bench/${name}`), name));
const SHEET = layoutOf('labels-a4-3x8.yaml');
const setting = { paper: 'A4', fonts: testFonts(), created: new Date('2030-02-01T08:00:00Z'), version: '1' } as const;

const revision = (number: number, content: string | null) => ({ number, content }) as Revision;
/** A workshop with the Alder 3, revision B. */
const store = { history: async () => [revision(1, example('alder-3.yaml'))] };

let bench: TestBench;
let serials: readonly string[];
beforeAll(async () => {
  bench = await testBench();
  serials = [...bench.state.units.keys()];
  const [a, b] = serials as [string, string];
  const measure = (unit: string, gate: string, value: number | boolean, instrument?: string) =>
    bench.do((state) => measureGate(state, unit, { gate, value, ...(instrument === undefined ? {} : { instrument }) }));
  await measure(a, 'sleep', 55, 'meter 2');
  await bench.do((state) => beginRework(state, a, { reason: 'flux under the radio' }));
  await measure(a, 'sleep', 22.5, 'meter 2');
  await measure(a, 'ceiling', 4.2);
  await bench.do((state) => overrideGate(state, a, { gate: 'ceiling', name: 'L. Brenk', reason: 'for the roof only' }));
  await bench.do((state) => overrideGate(state, a, { gate: 'spray', name: 'L. Brenk', reason: 'kept indoors' }));
  await measure(b, 'sleep', 60);
});

const ask = (request: object): Promise<PaperOutcome> =>
  makePaper(store, bench.state, paperRequest.parse(request), '2030-02-01');
const problemsOf = async (work: () => Promise<unknown>): Promise<string[]> => {
  try {
    await work();
  } catch (error) {
    if (error instanceof UserError) return error.problems.map((p) => `${p.code}: ${p.message}`);
    throw error;
  }
  return [];
};

describe('certificates', () => {
  it('hold every gate with its limits, every try, and who let it pass', async () => {
    const { content, notes } = await ask({ paper: 'certificate', things: [serials[0]] });
    if (content.paper !== 'certificate') throw new Error(content.paper);
    const [certificate] = content.certificates;
    expect(certificate).toMatchObject({ serial: serials[0], kit: 'Alder 3', revision: 'revision C', batch: 'A-07' });
    expect(certificate!.gates).toMatchObject([
      {
        name: 'Sleep current',
        limits: 'at most 38 µA (drawn in by 2 µA)',
        value: '22.5 µA',
        verdict: 'passed',
        instrument: 'meter 2',
        day: '2030-01-31',
        rework: '55 µA on 2030-01-31 by M. at the bench, failed, then rework: flux under the radio',
      },
      { value: '4.2 V', verdict: 'overridden', override: { person: 'L. Brenk', reason: 'for the roof only' } },
      { value: '', verdict: 'overridden', override: { person: 'L. Brenk', reason: 'kept indoors' } },
    ]);
    expect(certificate!.facts).toContainEqual([
      'radio, by the design',
      'SF8 / 125 kHz / 4:6, 869.525 MHz, 14 dBm at the connector',
    ]);
    expect(notes).toEqual([expect.stringContaining('names no maker')]);
  });

  it.runIf(hasPoppler)('of a batch are one file that hides no failure', async () => {
    const outcome = await ask({ paper: 'certificate', things: ['a-07'] });
    expect(outcome.serials).toEqual(serials);
    const text = textIn((await setWith(outcome, setting)).bytes);
    expect(text).toContain(
      `${serials[0]} passed 1 of 3 gates; 2 were let pass by name, with a reason, 1 of them without having been measured.`,
    );
    expect(text).toContain(`${serials[1]} failed 1 of 3 gates and has 2 open: it must not be shipped.`);
    expect(text).toContain('flux under the radio');
    expect(text).toContain(`${serials[0]} to ${serials[4]}, 5 units`);
  });
});

describe('labels', () => {
  it.runIf(hasDecoder)(
    'a decoder reads the address of the plan, or the text that was asked for, with each serial',
    async () => {
      const labels = { paper: 'labels', things: ['a-07'], layout: SHEET, startAt: 5 };
      const set = await setWith(await ask({ ...labels, code: 'https://example.org/u/{serial}' }), setting);
      expect(codesIn(set.bytes).sort()).toEqual(serials.map((s) => `https://example.org/u/${s}`).sort());
      const plain = await ask(labels);
      expect(plain.content).toMatchObject({ labels: serials.map((serial) => ({ code: serial, serial })) });
    },
  );

  it('the address stands in the plan when it has {serial} and is one', () => {
    const read = (labelUrl: string) => {
      const { name, kit, kitRevision } = PLAN;
      return readPlan(parseYamlRecord(JSON.stringify({ name, kit, kitRevision, labelUrl }), 'plan.json'));
    };
    expect(read('https://example.org/{serial}').labelUrl).toBe('https://example.org/{serial}');
    for (const [wrong, why] of [
      ['https://example.org/', /has \{serial\} in it/],
      ['javascript:{serial}', /begins with https/],
    ] as const)
      expect(() => read(wrong)).toThrow(why);
  });

  it('takes serials as they are typed, each once, and says what is not there', async () => {
    const typed = serials[1]!.toLowerCase().replace('-', '');
    const { serials: printed } = await ask({ paper: 'labels', layout: SHEET, things: [typed, serials[1], 'a-07'] });
    expect(printed).toEqual([serials[1], ...serials.filter((s) => s !== serials[1])]);
    expect(await problemsOf(() => ask({ paper: 'labels', layout: SHEET, things: ['a-08'] }))).toEqual([
      'no-such-batch: there is no batch a-08: did you mean a-07?',
    ]);
  });

  it('the layouts to begin with are those of the examples, letter by letter', () => {
    const files = ['labels-a4-3x8.yaml', 'labels-letter-2x5.yaml', 'labels-roll-70x40.yaml'];
    expect(LABEL_LAYOUTS).toEqual(files.map(layoutOf));
    for (const layout of LABEL_LAYOUTS) expect(() => checkLayout(layout)).not.toThrow();
  });

  it('a wrong layout is told with its place', () => {
    const wrong = 'kind: sheet\npaper: A4\nrows: 0\ncolumn: 3\nlabelWidth_mm: 63.5\n';
    try {
      readLabelLayout(parseYamlRecord(wrong, 'l.yaml'));
      expect.unreachable();
    } catch (error) {
      const { problems } = error as UserError;
      expect(problems.length).toBeGreaterThan(3);
      expect(problems.find((p) => p.place?.field?.endsWith('rows'))).toMatchObject({
        place: { file: 'l.yaml', line: 3 },
      });
    }
  });
});

describe('cards and cartons', () => {
  it('a card takes its facts from the kit, its tilt from the hemisphere, its limits from the table', async () => {
    const { content, notes } = await ask({ paper: 'card', plan: 'alder-3', region: 'NZ', latitude_deg: -44.3 });
    if (content.paper !== 'card') throw new Error(content.paper);
    expect(content.card).toMatchObject({
      cells: { count: 3, nominal_V: 3.6, capacity_mAh: 3350 },
      panel_W: 3.2,
      panelFaces: 'north',
      tilt_deg: 59,
      radio: { region: 'NZ', setting: 'SF8 / 125 kHz / 4:6', power_dBm: 14 },
    });
    // The design is of revision B, the plan builds C; and what the table says of 869.525 MHz there is on the card.
    expect(notes).toContainEqual(expect.stringContaining('builds revision C of alder-3'));
    const { card } = (await ask({ paper: 'card', plan: 'alder-3' })).content as { card: typeof content.card };
    expect(card).toMatchObject({ panelFaces: 'south', tilt_deg: 63 });
    expect(card.radio.limits.join(' ')).toContain('869.4 to 869.65 MHz');
    expect(content.card.radio.limits[0]).toMatch(/New Zealand/);
  });

  it('a card without a kit says what is missing', async () => {
    const request = paperRequest.parse({ paper: 'card', plan: 'alder-3' });
    expect(await problemsOf(() => makePaper({ history: async () => [] }, bench.state, request, '2030-02-01'))).toEqual([
      expect.stringContaining('no-kit: the card needs panel, cells and radio of the kit alder-3'),
    ]);
  });

  it('the kit is the newest of the revision that the plan builds', async () => {
    const text = (rev: string, name: string) =>
      `${example('alder-3.yaml').replace('revision: B', `revision: ${rev}`)}`.replace('name: Alder 3', `name: ${name}`);
    const history = async () => [
      revision(1, text('C', 'first')),
      revision(2, text('C', 'second')),
      revision(3, text('D', 'third')),
      revision(4, null),
    ];
    expect(await kitOfPlan({ history }, { kit: 'alder-3', kitRevision: 'C' })).toMatchObject({
      number: 2,
      sameRevision: true,
      kit: { name: 'second' },
    });
    expect(await kitOfPlan({ history }, { kit: 'alder-3', kitRevision: 'E' })).toMatchObject({
      number: 3,
      sameRevision: false,
    });
  });

  it('a carton counts the cells of the part, and says when they are those of the kit', async () => {
    const carton = { paper: 'carton', plan: 'alder-3', units: 6, charge_pct: 30 };
    const before = await ask(carton);
    expect(before.content).toMatchObject({
      carton: { units: 6, cellsPerUnit: 3, capacity_mAh: 3350, stateOfCharge: 0.3 },
    });
    expect(before.notes[0]).toMatch(/those of the kit/);
    const cell = { capacity_mAh: 3000, nominal_V: 3.7, lithium: true };
    await bench.do(() => [
      {
        stream: 'part:cell',
        content: { kind: 'part-saved', name: 'Cell', is: 'cell', measured: 'piece', offers: [], cell },
      },
    ]);
    const { content } = await ask(carton);
    // 3 x 3.0 Ah x 3.7 V a unit, 6 units.
    expect(content).toMatchObject({ carton: { cellsPerUnit: 3, nominal_V: 3.7, capacity_mAh: 3000 } });
  });
});

/** Words that stand nowhere else. */
const rare = fc.stringMatching(/^[qxz][a-z0-9]{9,20}$/);

describe('what leaves the workshop', () => {
  it('holds no key, and a customer only as whom a parcel goes to', async () => {
    await fc.assert(
      fc.asyncProperty(rare, rare, rare, async (key, customer, note) => {
        const own = await testBench();
        const all = [...own.state.units.keys()];
        await own.do((state) => keepSecret(state, all[0]!, 'channel key', key));
        await own.do((state) => placeOrder(state, 'one', { customer, plan: 'alder-3', count: 2, region: 'EU', note }));
        await own.do((state) =>
          ['sleep', 'ceiling', 'spray'].flatMap((gate) =>
            overrideGate(state, all[0]!, { gate, name: 'L. Brenk', reason: 'a trial' }),
          ),
        );
        await own.do((state) => reserveUnits(state, 'one', [all[0]!]));
        const requests: object[] = [
          { paper: 'labels', things: ['a-07'], layout: SHEET },
          { paper: 'certificate', things: all },
          { paper: 'card', plan: 'alder-3' },
          { paper: 'carton', plan: 'alder-3', units: 1 },
          { paper: 'packing', order: 'one' },
        ];
        for (const request of requests) {
          const made = await makePaper(store, own.state, paperRequest.parse(request) as PaperRequest, '2030-02-01');
          const written = `${JSON.stringify(made)} ${hasPoppler ? textIn((await setWith(made, setting)).bytes) : ''}`;
          expect(written).not.toContain(key);
          expect(written).not.toContain(note);
          if (made.content.paper === 'packing') {
            const { customer: to, ...rest } = made.content.packing;
            expect(to).toEqual([customer]);
            expect(JSON.stringify(rest)).not.toContain(customer);
          } else expect(written).not.toContain(customer);
        }
      }),
      { seed: 1, numRuns: 2 },
    );
  });

  it('a packing list names what may not be sent yet, and refuses an order without units', async () => {
    await bench.do((state) => placeOrder(state, 'hut', { customer: 'Hut', plan: 'alder-3', count: 2, region: 'EU' }));
    expect(await problemsOf(() => ask({ paper: 'packing', order: 'hut' }))).toEqual([
      expect.stringContaining('nothing-packed'),
    ]);
    await bench.do((state) => reserveUnits(state, 'hut', [serials[0]!]));
    const { content, notes } = await ask({ paper: 'packing', order: 'hut' });
    expect(content).toMatchObject({
      packing: {
        lines: [{ what: 'Alder 3, revision C', count: 1, serials: [serials[0]] }],
        notes: expect.arrayContaining([
          `${serials[0]}: Ceiling was let pass with a name and a reason; its certificate tells them.`,
          '1 more of this order follows.',
        ]),
      },
    });
    expect(notes.filter((n) => n.startsWith('Not to be sent yet'))).toEqual([]);
  });
});
