import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import type { RecordSummary, StaleSave, StoredRecord, WorkshopOverview } from '../../src/server/api.ts';
import { type Bench, bench, codes, json, KIT_TEXT, PERCH_TEXT } from './make.ts';

let b: Bench;
beforeEach(async () => {
  b = await bench();
});
afterEach(() => b.end());

type Raw = Record<string, unknown>;
const create = (kind: string, text: string) => json<StoredRecord>(b.ask('POST', '/api/records', { kind, text }));
const value = (record: StoredRecord) => structuredClone(record.value) as Raw & { panel: Raw; cells: Raw };

describe('saving', () => {
  it('a new record has a key of its name, revision 1 and what it takes for granted', async () => {
    const place = parseYamlRecord(PERCH_TEXT, 'f').value as { latitude_deg: number; longitude_deg: number };
    const { latitude_deg, longitude_deg } = place;
    const answer = await b.ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT, note: 'first' });
    expect(answer.status).toBe(201);
    const perch = await json<StoredRecord>(answer);
    expect(perch).toMatchObject({
      id: 'perch:hut-kaldra',
      name: 'Hut Kaldra',
      revision: 1,
      strip: null,
      place: { latitude_deg, longitude_deg },
      text: PERCH_TEXT,
    });
    expect(perch.assumptions.map(({ field }) => field)).toContain('perch.wind_m_s');
    expect(await json(b.ask('GET', '/api/records/perch:hut-kaldra'))).toEqual(perch);
    // As the pages write it.
    expect(await json(b.ask('GET', '/api/records/perch%3Ahut-kaldra'))).toEqual(perch);
  });

  it('a second of the same name gets a number', async () => {
    const ids = [];
    for (let i = 0; i < 3; i++) ids.push((await create('kit', KIT_TEXT)).id);
    expect(ids).toEqual(['kit:alder-3', 'kit:alder-3-2', 'kit:alder-3-3']);
    expect((await json<RecordSummary[]>(b.ask('GET', '/api/records?kind=kit'))).map(({ id }) => id)).toEqual(ids);
    expect(await json(b.ask('GET', '/api/records?kind=perch'))).toEqual([]);
  });

  it('a value from a form goes into the file, whose comments stay', async () => {
    const kit = await create('kit', KIT_TEXT);
    const changed = value(kit);
    changed.cells['count'] = 4;
    const saved = await json<StoredRecord>(
      b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: changed, from: 1, note: 'one cell more' }),
    );
    expect(saved.revision).toBe(2);
    expect(saved.text).toBe(KIT_TEXT.replace('count: 3', 'count: 4'));
    expect(saved.value).toEqual(changed);
    const history = await json<Raw[]>(b.ask('GET', '/api/records/kit:alder-3/history'));
    expect(history.map(({ revision, note }) => [revision, note])).toEqual([
      [1, ''],
      [2, 'one cell more'],
    ]);
  });

  it('a save that changes nothing is no new revision', async () => {
    const kit = await create('kit', KIT_TEXT);
    const body = { kind: 'kit', value: kit.value, from: 1 };
    expect((await json<StoredRecord>(b.ask('PUT', '/api/records/kit:alder-3', body))).revision).toBe(1);
  });

  it('what does not hold is told whole, and nothing is saved', async () => {
    const text = KIT_TEXT.replace('count: 3', 'count: 0').replace('capacity_mAh: 3350', 'capacity: 3350');
    const answer = await b.ask('POST', '/api/records', { kind: 'kit', text });
    expect(answer.status).toBe(422);
    const { problems } = await json<{ problems: { place: { field: string; line: number } }[] }>(answer);
    expect(problems.map(({ place }) => place.field)).toEqual(['kit.cells.count', 'kit.cells.capacity']);
    expect(problems[0]!.place.line).toBe(text.split('\n').findIndex((line) => line.includes('count: 0')) + 1);
    expect(await b.store.everything()).toEqual([]);
  });

  it('text and value have to say the same', async () => {
    const kit = await create('kit', KIT_TEXT);
    const other = value(kit);
    other.cells['count'] = 5;
    const body = { kind: 'kit', value: other, text: KIT_TEXT, from: 1 };
    expect(await codes(b.ask('PUT', '/api/records/kit:alder-3', body))).toEqual(['text-and-value']);
    expect(await codes(b.ask('POST', '/api/records', { kind: 'kit' }))).toEqual(['no-record']);
  });

  it('a save names its revision, its kind and a record that is there', async () => {
    const kit = await create('kit', KIT_TEXT);
    const put = (path: string, body: Raw) => codes(b.ask('PUT', `/api/records/${path}`, body));
    expect(await put('kit:alder-3', { kind: 'kit', value: kit.value })).toEqual(['revision-unsaid']);
    expect(await put('kit:alder-3', { kind: 'kit', value: kit.value, from: 2 })).toEqual(['no-such-revision']);
    expect(await put('kit:alder-3', { kind: 'perch', value: {}, from: 1 })).toEqual(['kind-changed']);
    expect(await put('kit:alder-4', { kind: 'kit', value: kit.value, from: 1 })).toEqual(['no-such-record']);
    expect(await put('net:valley', { kind: 'kit', value: kit.value, from: 1 })).toEqual(['kind-changed']);
    expect(await put('roof:valley', { kind: 'kit', value: kit.value, from: 1 })).toEqual(['bad-request']);
    expect(await codes(b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT, from: 1 }))).toEqual([
      'from-of-new',
    ]);
  });
});

describe('two windows', () => {
  it('the second save is refused and told what differs, field by field', async () => {
    const kit = await create('kit', KIT_TEXT);
    const mine = value(kit);
    const theirs = value(kit);
    theirs.cells['count'] = 4;
    theirs.panel['tolerance_pct'] = 5;
    mine.cells['count'] = 6;
    mine['revision'] = 'C';
    const first = await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: theirs, from: 1 });
    const second = await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: mine, from: 1 });
    expect([first.status, second.status]).toEqual([200, 409]);
    const stale = await json<StaleSave>(second);
    expect(stale).toMatchObject({ code: 'stale', revision: 2 });
    expect(stale.message).toMatch(/changed 2 fields: nothing of yours was saved/);
    expect(stale.changed).toEqual([
      { field: 'panel.tolerance_pct', theirs: 5, yours: 10 },
      { field: 'cells.count', theirs: 4, yours: 6 },
    ]);
    expect((await json<StoredRecord>(b.ask('GET', '/api/records/kit:alder-3'))).value).toEqual(theirs);
    // With the revision that was told it goes through.
    const again = await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: mine, from: 2 });
    expect([again.status, (await json<StoredRecord>(again)).revision]).toEqual([200, 3]);
  });

  it('of many saves at once exactly one goes through (V2.3.4)', async () => {
    const kit = await create('kit', KIT_TEXT);
    const saves = Array.from({ length: 20 }, (_, i) => {
      const mine = value(kit);
      mine.cells['count'] = 4 + i;
      return b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: mine, from: 1 });
    });
    const states = (await Promise.all(saves)).map(({ status }) => status).sort();
    expect(states).toEqual([200, ...Array(19).fill(409)]);
    expect(await json<unknown[]>(b.ask('GET', '/api/records/kit:alder-3/history'))).toHaveLength(2);
  });

  it('a removal or undo that comes too late is refused as well', async () => {
    const kit = await create('kit', KIT_TEXT);
    const theirs = value(kit);
    theirs.cells['count'] = 4;
    await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: theirs, from: 1 });
    const removal = await b.ask('DELETE', '/api/records/kit:alder-3?from=1');
    const undo = await b.ask('POST', '/api/undo', { id: 'kit:alder-3', from: 1 });
    expect([removal.status, undo.status]).toEqual([409, 409]);
    expect(await json(removal)).toMatchObject({
      revision: 2,
      changed: [{ field: 'cells.count', theirs: 4, yours: 3 }],
    });
    expect((await b.ask('DELETE', '/api/records/kit:alder-3?from=2')).status).toBe(200);
    const late = await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: theirs, from: 2 });
    expect([late.status, (await json<StaleSave>(late)).message]).toEqual([
      409,
      expect.stringMatching(/took the record away/),
    ]);
  });

  it('who saves between look and change is seen by the database', async () => {
    await b.end();
    let between: (() => Promise<void>) | undefined;
    b = await bench({
      store: (real) => ({
        ...real,
        append: async (revisions) => {
          const work = between;
          between = undefined;
          await work?.();
          return real.append(revisions);
        },
      }),
    });
    const kit = await create('kit', KIT_TEXT);
    const theirs = value(kit);
    theirs.cells['count'] = 4;
    for (const change of [
      () => b.ask('DELETE', '/api/records/kit:alder-3'),
      () =>
        b.ask('PUT', '/api/records/kit:alder-3', {
          kind: 'kit',
          value: { ...(kit.value as Raw), revision: 'Z' },
          from: 2,
        }),
    ]) {
      between = async () => {
        const { revision } = await json<StoredRecord>(b.ask('GET', '/api/records/kit:alder-3'));
        theirs.cells['count'] = (theirs.cells['count'] as number) + 1;
        await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: theirs, from: revision });
      };
      const answer = await change();
      expect(answer.status).toBe(409);
      expect((await json<StaleSave>(answer)).changed.map(({ field }) => field)).toEqual(['cells.count']);
    }
  });
});

describe('undo', () => {
  it('brings back what was before, and what was taken away', async () => {
    const kit = await create('kit', KIT_TEXT);
    const changed = value(kit);
    changed.cells['count'] = 4;
    await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value: changed, from: 1 });
    const undone = await json<StoredRecord>(b.ask('POST', '/api/undo', { kind: 'kit', id: 'kit:alder-3' }));
    expect(undone).toMatchObject({ revision: 3, value: kit.value, text: KIT_TEXT });
    const removed = await json<StoredRecord>(b.ask('DELETE', '/api/records/kit:alder-3'));
    expect(removed).toMatchObject({ revision: 4, removed: true, value: null, text: '' });
    expect(await codes(b.ask('GET', '/api/records/kit:alder-3'))).toEqual(['record-removed']);
    expect(await codes(b.ask('DELETE', '/api/records/kit:alder-3'))).toEqual(['record-removed']);
    expect((await json<WorkshopOverview>(b.ask('GET', '/api/workshop'))).records).toEqual([]);
    const back = await json<StoredRecord>(b.ask('POST', '/api/undo', { id: 'kit:alder-3' }));
    expect(back).toMatchObject({ revision: 5, value: kit.value });
    expect((await json<WorkshopOverview>(b.ask('GET', '/api/workshop'))).records).toHaveLength(1);
  });

  it('a key once given away is not given again', async () => {
    await create('kit', KIT_TEXT);
    await b.ask('DELETE', '/api/records/kit:alder-3');
    expect((await create('kit', KIT_TEXT)).id).toBe('kit:alder-3-2');
  });

  it('without anything before there is nothing to undo', async () => {
    await create('kit', KIT_TEXT);
    expect(await codes(b.ask('POST', '/api/undo', { id: 'kit:alder-3' }))).toEqual(['nothing-before']);
    expect(await codes(b.ask('POST', '/api/undo', { id: 'kit:none' }))).toEqual(['no-such-record']);
    expect(await codes(b.ask('POST', '/api/undo', { id: 'kit:alder-3', kind: 'perch' }))).toEqual(['kind-changed']);
  });
});

describe('reference', () => {
  it('checks while one types: problems with their lines, or assumptions', async () => {
    const good = await json(b.ask('POST', '/api/check/kit', { text: KIT_TEXT }));
    expect(good).toMatchObject({ problems: [], assumptions: expect.arrayContaining([]) });
    const typo = PERCH_TEXT.replace('tilt_deg: 70', 'tilt_deg: 200');
    const { problems } = await json<{ problems: unknown[] }>(b.ask('POST', '/api/check/perch', { text: typo }));
    expect(problems).toMatchObject([{ code: 'out-of-range', place: { field: 'perch.tilt_deg' } }]);
    const half = await json<{ problems: unknown[] }>(b.ask('POST', '/api/check/perch', { text: 'name: [' }));
    expect(half.problems.length).toBeGreaterThan(0);
    const byValue = await json<{ problems: { place: object }[] }>(
      b.ask('POST', '/api/check/kit', { value: { name: 7 } }),
    );
    expect(byValue.problems.map(({ place }) => Object.keys(place))).toContainEqual(['field']);
    expect(await b.store.everything()).toEqual([]);
  });

  it('a perch with a weather file is no mistake', async () => {
    const text = 'name: x\nclimate: { weather: kaldra.epw }\n';
    expect(await json(b.ask('POST', '/api/check/perch', { text }))).toMatchObject({ problems: [] });
  });

  it('parts, climates and schemas come with the program', async () => {
    const parts = await json<Record<string, unknown[]>>(b.ask('GET', '/api/parts'));
    expect(Object.keys(parts)).toEqual(['panels', 'cells', 'chargers', 'loads']);
    const near = await json<{ distance_km: number; name: string }[]>(
      b.ask('GET', '/api/climates?latitude_deg=46.8&longitude_deg=9.8'),
    );
    expect(near.length).toBeGreaterThan(50);
    for (let i = 1; i < near.length; i++) expect(near[i]!.distance_km).toBeGreaterThanOrEqual(near[i - 1]!.distance_km);
    for (const query of [
      'latitude_deg=1',
      'longitude_deg=1',
      'latitude_deg=91&longitude_deg=0',
      'latitude_deg=x&longitude_deg=0',
    ])
      expect((await b.ask('GET', `/api/climates?${query}`)).status).toBe(400);
    expect(await json(b.ask('GET', '/api/schema/kit'))).toMatchObject({ title: 'Kit', type: 'object' });
  });
});
