import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { terminalProgress } from '../../src/cli/progress.ts';
import { cli, ensureBuilt, KIT, PERCH, PROGRAM, STACK } from './built.ts';

const folder = mkdtempSync(join(tmpdir(), 'behaviour-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeAll(ensureBuilt, 120_000);

/** How a process ended, and how long after the signal. */
function ended(child: ChildProcess): Promise<{ code: number | null; signal: string | null }> {
  return new Promise((resolve) => child.on('exit', (code, signal) => resolve({ code, signal })));
}

describe('Ctrl-C', () => {
  it.each([
    ['in the middle of a long run', ['year', KIT, PERCH, '--years', '2000', '--report', 'long.html'], 500],
    ['while workers run', ['where', KIT, '--target', '1 in 20', '--csv', 'where.csv', '--map', 'where.svg'], 1500],
    ['while a map is made', ['size', PERCH, '--kit', KIT, '--years', '1000', '--svg', 'map.svg'], 1500],
  ])('ends it at once %s, with nothing half-written', async (_, args, after_ms) => {
    const child = spawn(process.execPath, [PROGRAM, ...args], { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'] });
    let out = '';
    child.stdout.on('data', (chunk) => {
      out += String(chunk);
    });
    child.stderr.on('data', (chunk) => {
      out += String(chunk);
    });
    const end = ended(child);
    await wait(after_ms);
    expect(child.exitCode, 'it still runs when it is stopped').toBeNull();
    const begun = performance.now();
    child.kill('SIGINT');
    const { code, signal } = await end;
    // The bound of the contract: at once, which is under a second.
    expect(performance.now() - begun).toBeLessThan(1000);
    expect(signal === 'SIGINT' || code === 130).toBe(true);
    expect(out).toBe('');
    expect(readdirSync(folder)).toEqual([]);
  });
});

describe('a reader that stops early', () => {
  const head = (args: readonly string[]) =>
    spawnSync('sh', ['-c', `"$0" "$@" 2>errors | head -c 20`, process.execPath, PROGRAM, ...args], {
      cwd: folder,
      encoding: 'utf8',
    });
  it.each([
    ['long JSON', ['compare', KIT, KIT, '--perch', PERCH, '--years', '2', '--json']],
    ['a table', ['spells', PERCH, '--years', '8']],
    ['help', ['year', '--help']],
    ['problems in JSON', ['year', KIT, 'absent.yaml', '--json']],
  ])('%s: no complaint, no stack trace', (_, args) => {
    const { stdout } = head(args);
    expect(stdout).toHaveLength(20);
    const errors = readFileSync(join(folder, 'errors'), 'utf8');
    expect(errors).not.toMatch(STACK);
    expect(errors).not.toMatch(/EPIPE|Unexpected/);
    if (!args.includes('absent.yaml')) expect(errors).toBe('');
    rmSync(join(folder, 'errors'));
  });

  it('a standard error that is closed is no reason to crash', () => {
    const run = spawnSync(
      'sh',
      ['-c', `"$0" "$@" 2>&-; echo "code $?"`, process.execPath, PROGRAM, 'year', KIT, 'absent.yaml'],
      { cwd: folder, encoding: 'utf8' },
    );
    expect(run.stdout).toBe('code 1\n');
  });
});

describe('progress', () => {
  it('does not appear where standard error is no terminal, however long it takes', () => {
    const run = cli(['size', PERCH, '--kit', KIT, '--target', '1 in 4', '--years', '40', '--json']);
    expect(run).toMatchObject({ code: 0, err: '' });
    expect(() => run.json()).not.toThrow();
  });

  it('appears on a terminal after a second, is overwritten in place, and is wiped at the end', () => {
    const written: string[] = [];
    let now_ms = 0;
    const terminal = (isTTY: boolean) =>
      ({ isTTY, write: (text: string) => written.push(text) > 0 }) as unknown as NodeJS.WriteStream;
    const { report, done } = terminalProgress(terminal(true), () => now_ms);
    report(1, 10, 'weather');
    now_ms = 999;
    report(2, 10, 'weather');
    expect(written).toEqual([]);
    now_ms = 1001;
    report(5, 10, 'hours');
    expect(written).toHaveLength(1);
    expect(written[0]).toMatch(/^\r.*50 % hours.*Ctrl-C/);
    // Not more often than the eye can follow.
    now_ms = 1010;
    report(6, 10, 'hours');
    expect(written).toHaveLength(1);
    done();
    expect(written.at(-1)).toMatch(/^\r\x1b\[K$/);
    written.length = 0;
    const silent = terminalProgress(terminal(false), () => now_ms);
    now_ms = 5000;
    silent.report(9, 10, 'hours');
    silent.done();
    expect(written).toEqual([]);
  });
});

describe('files that are written', () => {
  it('a report page is one self-contained file, in a folder that is made for it', () => {
    const run = cli(['year', KIT, PERCH, '--years', '12', '--target', '1 in 2', '--report', 'new/folder/page.html'], {
      cwd: folder,
    });
    expect(run).toMatchObject({ code: 0, err: '' });
    expect(run.out).toMatch(/Report page: new\/folder\/page\.html\n$/);
    expect(readdirSync(join(folder, 'new/folder'))).toEqual(['page.html']);
    const page = readFileSync(join(folder, 'new/folder/page.html'), 'utf8');
    expect(page).toMatch(/^<!doctype html>/i);
    expect(page.trimEnd()).toMatch(/<\/html>$/);
    // Nothing is fetched: no source or style from elsewhere.
    expect(page).not.toMatch(/(?:src|href)="(?:https?:)?\/\//);
    expect(page).toContain('Ash 3');
    rmSync(join(folder, 'new'), { recursive: true });
  });

  it('a report whose name ends in .pdf is a PDF on the paper that is asked for; a paper goes with nothing else', () => {
    const ask = ['compare', KIT, KIT, '--perch', PERCH, '--years', '3', '--paper', 'letter'];
    const run = cli([...ask, '--report', 'side by side.PDF'], { cwd: folder });
    expect(run).toMatchObject({ code: 0, err: '' });
    const pdf = readFileSync(join(folder, 'side by side.PDF'), 'latin1');
    expect(pdf).toMatch(/^%PDF-1\.7[\s\S]*%%EOF\s*$/);
    expect(pdf).toContain('/MediaBox [0 0 612 792]');
    rmSync(join(folder, 'side by side.PDF'));
    const wrong = cli([...ask, '--report', 'page.html'], { cwd: folder });
    expect(wrong.code).toBe(1);
    expect(wrong.err).toContain('--paper is for a PDF, and page.html becomes an HTML page');
    expect(readdirSync(folder)).not.toContain('page.html');
  }, 60_000);

  it('pictures and tables beside the answer; --json keeps standard output to JSON alone', () => {
    const size = cli(
      ['size', PERCH, '--kit', KIT, '--target', '1 in 2', '--years', '6', '--svg', 'map.svg', '--json'],
      {
        cwd: folder,
      },
    );
    expect(() => size.json()).not.toThrow();
    expect(readFileSync(join(folder, 'map.svg'), 'utf8')).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    const where = cli(
      [
        ...['where', KIT, '--only', 'ESP,NZL', '--target', '1 in 2', '--years', '6'],
        ...['--csv', 'where.csv', '--map', 'where.svg', '--json'],
      ],
      { cwd: folder },
    );
    const { rows } = where.json() as { rows: { name: string; verdict: string }[] };
    const csv = readFileSync(join(folder, 'where.csv'), 'utf8').trimEnd().split('\n');
    expect(csv).toHaveLength(rows.length + 1);
    expect(csv[0]!.split(',')).toEqual(
      expect.arrayContaining(['name', 'verdict', 'darkYearShare', 'darkYearShare_low', 'darkYearShare_high', 'needs']),
    );
    expect(csv[1]).toContain(rows[0]!.verdict);
    expect(readFileSync(join(folder, 'where.svg'), 'utf8')).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    for (const name of ['map.svg', 'where.csv', 'where.svg']) rmSync(join(folder, name));
    expect(existsSync(join(folder, 'errors'))).toBe(false);
  });
});
