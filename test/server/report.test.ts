import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import { runJob } from '../../src/app/job.ts';
import { runTask } from '../../src/app/tasks.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import type { JobStatus } from '../../src/server/api.ts';
import type { RunJob } from '../../src/server/jobs.ts';
import { type Bench, bench, codes, json, KIT_TEXT, PERCH_TEXT } from './make.ts';

let b: Bench;
afterEach(() => b.end());

/** The real computation, in this process. */
const run: RunJob = (input, progress) =>
  runJob({ progress, runTasks: async (task, inputs) => inputs.map((one) => runTask(task, one)) }, input);
const EVIL = `<img src=x onerror="alert(1)">'"&\r\nset-cookie: a=b; ../../é`;

async function computed(order: object): Promise<JobStatus> {
  const begun = await json<JobStatus>(b.ask('POST', '/api/jobs', order));
  await (await b.ask('GET', `/api/jobs/${begun.id}/events`)).text();
  return json<JobStatus>(b.ask('GET', `/api/jobs/${begun.id}`));
}

describe('the report', () => {
  it('shows names as text, not as markup, and runs nothing (V1.2.1, V3.2.2); its file name is of our making (V5.4.1)', async () => {
    b = await bench({ run });
    const kit = { ...(parseYamlRecord(KIT_TEXT, 'f').value as object), name: EVIL };
    const perch = { ...(parseYamlRecord(PERCH_TEXT, 'f').value as object), name: EVIL };
    const job = await computed({ command: 'year', kit: { value: kit }, perch: { value: perch }, years: 2 });
    expect(job).toMatchObject({ state: 'done' });
    const answer = await b.ask('POST', '/api/report', { year: job.key });
    const page = await answer.text();
    expect(page).not.toContain('<img');
    expect(page).not.toMatch(/<script/i);
    expect(page).toContain('&lt;img src=x');
    expect(answer.headers.get('content-type')).toMatch(/^text\/html; charset=utf-8$/i);
    expect(answer.headers.get('content-security-policy')).toMatch(/default-src 'none'.*sandbox/);
    expect(answer.headers.get('content-security-policy')).not.toContain('script-src');
    const name = /^attachment; filename="([^"]*)"$/.exec(answer.headers.get('content-disposition') ?? '')?.[1];
    expect(name).toMatch(/^[a-z0-9-]{1,90}\.html$/);
    expect(answer.headers.get('set-cookie')).toBeNull();
  });

  it('is made of a year; a map only of a size', async () => {
    b = await bench({ run });
    await b.ask('POST', '/api/records', { kind: 'perch', text: PERCH_TEXT });
    const spells = await computed({ command: 'spells', perch: 'perch:hut-kaldra', years: 10 });
    expect(await codes(b.ask('POST', '/api/report', { year: spells.key }))).toEqual(['no-year']);
    expect(await codes(b.ask('POST', '/api/report', { year: '0'.repeat(64) }))).toEqual(['no-such-result']);
    await b.ask('POST', '/api/records', { kind: 'kit', text: KIT_TEXT });
    const year = await computed({ command: 'year', kit: 'kit:alder-3', perch: 'perch:hut-kaldra', years: 2 });
    expect(await codes(b.ask('POST', '/api/report', { year: year.key, size: spells.key }))).toEqual(['no-size']);
    expect((await b.ask('POST', '/api/report', { year: year.key })).status).toBe(200);
    expect(await codes(b.ask('POST', '/api/report', { year: year.key, paper: 'A4' }))).toEqual(['no-paper']);
    const answer = await b.ask('POST', '/api/report', { year: year.key, format: 'pdf', paper: 'letter' });
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe('application/pdf');
    expect(answer.headers.get('content-disposition')).toBe('attachment; filename="alder-3-at-hut-kaldra.pdf"');
    const pdf = Buffer.from(await answer.arrayBuffer()).toString('latin1');
    expect(pdf).toMatch(/^%PDF-1\.7/);
    expect(pdf).toContain('/MediaBox [0 0 612 792]');
  });
});

describe('the layers that see a request', () => {
  it('start no process and evaluate no text (V1.2.5, V5.3.1)', async () => {
    b = await bench();
    const forbidden = /node:child_process|\beval\(|new Function\(|node:vm\b/;
    // The check sees what it looks for.
    expect("import { exec } from 'node:child_process';").toMatch(forbidden);
    let files = 0;
    for (const layer of ['server', 'app', 'records', 'formats', 'core', 'store', 'report']) {
      const folder = fileURLToPath(new URL(`../../src/${layer}/`, import.meta.url));
      for (const name of readdirSync(folder, { recursive: true, encoding: 'utf8' })) {
        if (!name.endsWith('.ts')) continue;
        files++;
        expect([name, forbidden.test(readFileSync(join(folder, name), 'utf8'))]).toEqual([name, false]);
      }
    }
    expect(files).toBeGreaterThan(200);
  });
});
