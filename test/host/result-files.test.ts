import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import { readPages } from '../../src/host/page-files.ts';
import { resultFiles } from '../../src/host/result-files.ts';
import { writeSecret } from '../../src/host/secret-file.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'host-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const key = (n: number) => n.toString(16).padStart(64, '0');

describe('resultFiles', () => {
  it('keeps results and their notes, oldest first; an absent folder is an empty one', async () => {
    const files = resultFiles(join(folder, 'none', 'results'));
    expect(await files.notes()).toEqual([]);
    expect(await files.read(key(1))).toBeUndefined();
    await files.write(key(1), '{"a":1}', 'first');
    await files.write(key(2), '{"a":2}', 'second');
    utimesSync(join(folder, 'none', 'results', `${key(2)}.note.json`), 1, 1);
    expect(await files.notes()).toEqual(['second', 'first']);
    expect(await files.read(key(1))).toBe('{"a":1}');
    await files.write(key(1), '{"a":3}', 'again');
    expect(await files.read(key(1))).toBe('{"a":3}');
  });

  it('takes no other name than a hash: no path leads out of the folder', async () => {
    const files = resultFiles(folder);
    for (const bad of ['../x', '..', '', 'A'.repeat(64), `${key(1)}0`, `${key(1)}\n`, '/etc/passwd']) {
      expect(() => files.read(bad)).toThrow(RangeError);
      await expect(files.write(bad, '', '')).rejects.toThrow(RangeError);
    }
    expect(readdirSync(folder)).toEqual([]);
  });

  it('forgets the oldest beyond 500, result and note together', async () => {
    const files = resultFiles(folder);
    for (let n = 0; n < 500; n++) {
      writeFileSync(join(folder, `${key(n)}.json`), '{}');
      writeFileSync(join(folder, `${key(n)}.note.json`), String(n));
      utimesSync(join(folder, `${key(n)}.note.json`), n + 1, n + 1);
    }
    writeFileSync(join(folder, 'mine.txt'), 'not a result');
    await files.write(key(1000), '{}', 'new');
    const names = readdirSync(folder);
    expect(names).toHaveLength(1001);
    expect(names.some((name) => name.startsWith(key(0)))).toBe(false);
    expect((await files.notes()).length).toBe(500);
    expect(existsSync(join(folder, 'mine.txt'))).toBe(true);
  });
});

describe('writeSecret', () => {
  it('is for its owner only, also where a freer file stood', async () => {
    const path = join(folder, 'secret');
    writeFileSync(path, 'old', { mode: 0o644 });
    await writeSecret(path, 'new');
    expect(readFileSync(path, 'utf8')).toBe('new');
    if (process.platform !== 'win32') expect(statSync(path).mode & 0o777).toBe(0o600);
    expect(readdirSync(folder)).toEqual(['secret']);
    await expect(writeSecret(join(folder, 'none', 'x'), 'y')).rejects.toThrow(UserError);
  });
});

describe('readPages', () => {
  it('reads what pages are made of, by path, and nothing else', async () => {
    const { mkdirSync } = await import('node:fs');
    mkdirSync(join(folder, 'assets'));
    for (const [name, text] of [
      ['index.html', '<!doctype html>'],
      ['assets/main-Ab3dEf9_.js', ';'],
      ['assets/main-Ab3dEf9_.js.map', '{}'],
      ['.env', 'x'],
      ['run.sh', 'x'],
    ] as const)
      writeFileSync(join(folder, name), text);
    const pages = await readPages(folder);
    expect([...pages.keys()].sort()).toEqual(['/assets/main-Ab3dEf9_.js', '/index.html']);
    expect(pages.get('/index.html')).toMatchObject({ type: 'text/html; charset=utf-8' });
    const before = pages.get('/index.html')!.tag;
    writeFileSync(join(folder, 'index.html'), '<!doctype html> ');
    expect((await readPages(folder)).get('/index.html')!.tag).not.toBe(before);
    expect((await readPages(join(folder, 'none'))).size).toBe(0);
  });
});
