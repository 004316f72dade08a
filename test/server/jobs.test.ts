import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import type { JobStatus, StoredRecord, WorkshopOverview } from '../../src/server/api.ts';
import { createJobs } from '../../src/server/jobs.ts';
import { createResults, keyOf, resultText } from '../../src/server/results.ts';
import { type Bench, bench, codes, heldRunner, json, KIT_TEXT, PERCH_TEXT, settle } from './make.ts';

let b: Bench;
afterEach(() => b.end());

const STRIP = { darkShare: Array(12).fill(0), lowStateOfCharge: Array(12).fill(0.9) };
const outcome = (more: object = {}) => ({
  outcome: { command: 'year', verdict: 'it stays up', state: 'stays up', strip: STRIP, ...more },
  pictures: {},
});
const YEAR = { command: 'year', kit: 'kit:alder-3', perch: 'perch:hut-kaldra' };

async function ready(atOnce = 2) {
  const held = heldRunner();
  b = await bench({ run: held.run, atOnce });
  await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
  await b.ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT });
  return held.calls;
}
const begin = (body: object = YEAR) => json<JobStatus>(b.ask('POST', '/api/jobs', body));
const look = (id: string) => json<JobStatus>(b.ask('GET', `/api/jobs/${id}`));

/** The states that events tell until they end. */
async function events(id: string): Promise<JobStatus[]> {
  const answer = await b.ask('GET', `/api/jobs/${id}/events`);
  expect(answer.headers.get('content-type')).toMatch(/^text\/event-stream/);
  const blocks = (await answer.text()).split('\n\n').filter((block) => block.startsWith('event: status'));
  return blocks.map((block) => JSON.parse(block.split('\n')[1]!.replace(/^data: /, '')) as JobStatus);
}

describe('the life of a job', () => {
  it('begins, tells how far it is, ends with a result that is kept', async () => {
    const calls = await ready();
    const job = await begin();
    expect(job).toMatchObject({ command: 'year', state: 'running', done: 0 });
    expect(calls[0]!.input).toMatchObject({ command: 'year', kit: { name: 'Alder 3' }, perch: { name: 'Hut Kaldra' } });
    const told = events(job.id);
    await settle();
    for (const [done, what] of [
      [3, 'weather'],
      [7, 'hours'],
    ] as const) {
      calls[0]!.progress(done, 10, what);
      expect(await look(job.id)).toMatchObject({ state: 'running', done, total: 10, what });
      await settle();
    }
    calls[0]!.finish(outcome());
    const states = await told;
    expect(states.map(({ state, done }) => [state, done])).toEqual([
      ['running', 0],
      ['running', 3],
      ['running', 7],
      ['done', 1],
    ]);
    expect(await json(b.ask('GET', `/api/results/${job.key}`))).toEqual(outcome());
    // Who asks for the events of a job that is over hears its end.
    expect((await events(job.id)).map(({ state }) => state)).toEqual(['done']);
  });

  it('the same inputs are not computed twice: neither after the end nor meanwhile', async () => {
    const calls = await ready();
    const first = await begin();
    const second = await begin();
    expect(second.id).not.toBe(first.id);
    expect(second.key).toBe(first.key);
    expect(calls).toHaveLength(1);
    calls[0]!.finish(outcome());
    await settle();
    expect([(await look(first.id)).state, (await look(second.id)).state]).toEqual(['done', 'done']);
    const third = await begin();
    expect(third).toMatchObject({ state: 'done', what: 'was computed before', key: first.key });
    // The same kit as a value that is not saved, its keys in another order.
    const kit = await json<StoredRecord>(b.ask('GET', '/api/records/kit:alder-3'));
    const shuffled = Object.fromEntries(Object.entries(kit.value as object).reverse());
    expect(await begin({ ...YEAR, kit: { value: shuffled } })).toMatchObject({ state: 'done', key: first.key });
    expect(calls).toHaveLength(1);
    // Whatever differs is another result.
    for (const more of [{ seed: 2 }, { years: 10 }, { target: '1 in 10' }]) {
      expect((await begin({ ...YEAR, ...more })).key).not.toBe(first.key);
    }
  });

  it('is stopped by whoever asked; the computation ends with the last of them', async () => {
    const calls = await ready();
    const first = await begin();
    const second = await begin();
    const told = events(first.id);
    await settle();
    expect(await json(b.ask('DELETE', `/api/jobs/${first.id}`))).toMatchObject({ state: 'stopped' });
    expect((await told).map(({ state }) => state)).toEqual(['running', 'stopped']);
    expect([calls[0]!.stopped, (await look(second.id)).state]).toEqual([false, 'running']);
    await b.ask('DELETE', `/api/jobs/${second.id}`);
    expect(calls[0]!.stopped).toBe(true);
    await settle();
    // A later one begins anew; stopping what is over changes nothing.
    const third = await begin();
    expect([third.state, calls.length]).toEqual(['running', 2]);
    calls[1]!.finish(outcome());
    await settle();
    expect(await json(b.ask('DELETE', `/api/jobs/${third.id}`))).toMatchObject({ state: 'done' });
    expect(await look(first.id)).toMatchObject({ state: 'stopped' });
  });

  it('fails in a sentence: of the user’s input, or that it is a fault of the program', async () => {
    const calls = await ready();
    const wrong = await begin();
    calls[0]!.fail(new UserError({ code: 'too-few-years', message: '3 years cannot show it' }));
    await settle();
    expect(await look(wrong.id)).toMatchObject({
      state: 'failed',
      problems: [{ code: 'too-few-years', message: '3 years cannot show it' }],
    });
    // A failure is not kept: it is tried again.
    const fault = await begin();
    calls[1]!.fail(new Error('secret detail\nof a fault'));
    await settle();
    const { problems } = await look(fault.id);
    expect(problems).toMatchObject([{ code: 'unexpected' }]);
    expect(JSON.stringify(problems)).not.toContain('secret');
    expect(b.logged).toEqual([expect.stringContaining('secret detail | of a fault')]);
    const memory = await begin({ ...YEAR, seed: 5 });
    calls[2]!.fail(Object.assign(new Error('x'), { code: 'ERR_WORKER_OUT_OF_MEMORY' }));
    await settle();
    expect((await look(memory.id)).problems).toMatchObject([{ code: 'out-of-memory' }]);
  });

  it('some run, the others wait in order, and too many are refused (V15.2.2)', async () => {
    const calls = await ready(2);
    const jobs = [];
    for (let seed = 0; seed < 52; seed++) jobs.push(await begin({ ...YEAR, seed }));
    expect(jobs.map(({ state }) => state)).toEqual([...Array(2).fill('running'), ...Array(50).fill('waiting')]);
    const refused = await b.ask('POST', '/api/jobs', { ...YEAR, seed: 99 });
    expect([refused.status, refused.headers.get('retry-after')]).toEqual([503, '10']);
    expect(calls.map(({ input }) => input.seed)).toEqual([0, 1]);
    // One that waits is stopped without ever having run; the next one takes the place that becomes free.
    await b.ask('DELETE', `/api/jobs/${jobs[2]!.id}`);
    calls[1]!.finish(outcome());
    await settle();
    expect(calls.map(({ input }) => input.seed)).toEqual([0, 1, 3]);
  });

  it('all end with the server, and those who watch hear it', async () => {
    const calls = await ready(1);
    const running = await begin();
    const waiting = await begin({ ...YEAR, seed: 2 });
    const told = [events(running.id), events(waiting.id)];
    await settle();
    b.jobs.close();
    expect((await Promise.all(told)).map((list) => list.at(-1)!.state)).toEqual(['stopped', 'stopped']);
    expect([calls.length, calls[0]!.stopped]).toEqual([1, true]);
    expect(await codes(b.ask('POST', '/api/jobs', YEAR))).toEqual(['stopping']);
  });
});

describe('what may be computed', () => {
  it('problems of the records are told before anything begins', async () => {
    const calls = await ready();
    const ask = (body: object) => codes(b.ask('POST', '/api/jobs', body));
    expect(await ask({ command: 'year', perch: 'perch:hut-kaldra' })).toEqual(['no-kit']);
    expect(await ask({ ...YEAR, kit: 'kit:none' })).toEqual(['no-such-record']);
    expect(await ask({ ...YEAR, kit: 'perch:hut-kaldra' })).toEqual(['wrong-kind']);
    expect(await ask({ ...YEAR, kit: { value: {} } })).toContain('missing');
    expect(await ask({ ...YEAR, target: 'never' })).toEqual(['target-unreadable']);
    expect(await ask({ ...YEAR, command: 'rm -rf' })).toEqual(['bad-request']);
    // One too few, one too many (1 to 1,000).
    for (const years of [0, 1001, 1.5, '5']) expect(await ask({ ...YEAR, years })).toEqual(['bad-request']);
    expect(calls).toHaveLength(0);
    for (const years of [1, 1000]) expect((await b.ask('POST', '/api/jobs', { ...YEAR, years })).status).toBe(202);
  });

  it('a perch cannot make the server read a file of its disk (V5.3.2)', async () => {
    await ready();
    for (const weather of ['/etc/passwd', 'kaldra.epw']) {
      const perch = { value: { latitude_deg: 46, longitude_deg: 10, elevation_m: 2000, climate: { weather } } };
      expect(await codes(b.ask('POST', '/api/jobs', { ...YEAR, perch }))).toEqual(['weather-file-elsewhere']);
    }
  });

  it('a command takes only what it needs', async () => {
    const calls = await ready();
    const where = await begin({ command: 'where', kit: 'kit:alder-3', perch: 'perch:none' });
    const spells = await begin({ command: 'spells', perch: 'perch:hut-kaldra' });
    expect([where.state, spells.state]).toEqual(['running', 'running']);
    expect(calls.map(({ input }) => Object.keys(input))).toEqual([
      ['command', 'kit'],
      ['command', 'perch'],
    ]);
  });

  it('jobs and results that are not there are told', async () => {
    await ready();
    const id = '00000000-0000-4000-8000-000000000000';
    for (const [method, path] of [
      ['GET', `/api/jobs/${id}`],
      ['DELETE', `/api/jobs/${id}`],
      ['GET', `/api/jobs/${id}/events`],
    ] as const)
      expect(await codes(b.ask(method, path))).toEqual(['no-such-job']);
    expect(await codes(b.ask('GET', `/api/results/${'0'.repeat(64)}`))).toEqual(['no-such-result']);
    for (const path of ['/api/jobs/x', '/api/results/..%2f..%2fx', '/api/results/F'])
      expect(await codes(b.ask('GET', path))).toEqual(['bad-request']);
  });
});

describe('what the start page shows', () => {
  it('the strip of the last result of this very revision, and what wants a look', async () => {
    const calls = await ready();
    const overview = () => json<WorkshopOverview>(b.ask('GET', '/api/workshop'));
    expect((await overview()).attention.map(({ text }) => text)).toEqual([
      'Alder 3 has not been computed at any perch yet.',
      'Hut Kaldra has not been computed with any kit yet.',
    ]);
    await begin();
    calls[0]!.finish(outcome({ state: 'goes dark', verdict: 'It goes dark.' }));
    await settle();
    const dark = await overview();
    expect(dark.records.map(({ strip }) => strip)).toEqual([STRIP, STRIP]);
    expect(dark.attention).toEqual([{ text: 'It goes dark.', kit: 'kit:alder-3', perch: 'perch:hut-kaldra' }]);
    const kit = await json<StoredRecord>(b.ask('GET', '/api/records/kit:alder-3'));
    const value = { ...(kit.value as object), revision: 'C' };
    await b.ask('PUT', '/api/records/kit:alder-3', { kind: 'kit', value, from: 1 });
    const changed = await overview();
    expect(changed.records.map(({ strip }) => strip)).toEqual([null, STRIP]);
    expect(changed.attention.map(({ text }) => text)).toEqual([
      'Alder 3 at Hut Kaldra has changed since it was computed.',
    ]);
    await begin();
    calls[1]!.finish(outcome());
    await settle();
    expect((await overview()).attention).toEqual([]);
  });
});

describe('results', () => {
  it('the key is of all inputs, the program’s version included, and of nothing else', async () => {
    b = await bench();
    const input = { command: 'year', kit: { a: 1, b: [1, { c: null }] }, seed: 1 } as const;
    const key = keyOf(input, '1');
    expect(key).toMatch(/^[0-9a-f]{64}$/);
    expect(keyOf({ seed: 1, kit: { b: [1, { c: null }], a: 1 }, command: 'year' }, '1')).toBe(key);
    const others = [
      keyOf(input, '2'),
      keyOf({ ...input, seed: 2 }, '1'),
      keyOf({ ...input, kit: { a: 1, b: [{ c: null }, 1] } }, '1'),
      keyOf({ ...input, kit: { a: '1', b: [1, { c: null }] } }, '1'),
      keyOf({ ...input, perch: input.kit, kit: undefined }, '1'),
    ];
    expect(new Set([key, ...others]).size).toBe(6);
  });

  it('typed arrays become lists that bring them back exactly', async () => {
    b = await bench();
    const text = resultText({
      a: Float32Array.of(0.5, -1, 1 / 3),
      b: Float64Array.of(0.1),
      c: Uint8Array.of(7),
      d: Number.NaN,
    });
    expect(text).toBe('{"a":[0.5,-1,0.333333343],"b":[0.1],"c":[7],"d":null}');
    fc.assert(
      fc.property(fc.float32Array({ noNaN: true, noDefaultInfinity: true }), (a) => {
        const back = Float32Array.from((JSON.parse(resultText({ a })) as { a: number[] }).a);
        // JSON has one zero.
        expect(back).toEqual(a.map((x) => (x === 0 ? 0 : x)));
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it('what a keeper holds is found after a restart; what is damaged counts as absent', async () => {
    b = await bench();
    const kept = new Map<string, string>();
    const notes: string[] = ['{ damaged'];
    const keeper = {
      notes: async () => notes,
      read: async (key: string) => kept.get(key),
      write: async (key: string, text: string, note: string) => {
        kept.set(key, text);
        notes.push(note);
      },
    };
    const logged: string[] = [];
    const log = (line: string) => void logged.push(line);
    const held = heldRunner();
    const note = {
      key: 'k',
      command: 'year',
      kit: { id: 'kit:a', revision: 1 },
      perch: { id: 'perch:b', revision: 2 },
    } as const;
    const jobs = createJobs(held.run, await createResults(keeper, log), 1, log);
    await jobs.submit({ input: { command: 'year' }, key: 'k', note });
    held.calls[0]!.finish(outcome());
    await settle();
    const again = await createResults(keeper, log);
    expect(again.latest()).toEqual([{ ...note, state: 'stays up', verdict: 'it stays up', strip: STRIP }]);
    expect(await again.get('k')).toBe(JSON.stringify(outcome()));
    expect(logged).toEqual([expect.stringContaining('damaged'), expect.stringContaining('damaged')]);
    const second = await createJobs(held.run, again, 1, log).submit({ input: { command: 'year' }, key: 'k', note });
    expect(second.state).toBe('done');
  });

  it('a disk that keeps nothing costs the cache, not the result', async () => {
    const held = heldRunner();
    b = await bench({
      run: held.run,
      keeper: {
        notes: async () => [],
        read: async () => undefined,
        write: () => Promise.reject(new Error('the disk is full')),
      },
    });
    await b.ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT });
    const job = await begin({ command: 'spells', perch: 'perch:hut-kaldra' });
    held.calls[0]!.finish({ command: 'spells' });
    await settle();
    expect(await json(b.ask('GET', `/api/results/${job.key}`))).toEqual({ command: 'spells' });
    expect(b.logged).toEqual([expect.stringContaining('the disk is full')]);
  });
});
