import { chmodSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { formatProblem, UserError } from '../../src/core/units/index.ts';
import { readWeather } from '../../src/host/read-weather.ts';
import { epw, expectSame, invent, PLACE, powerJson } from '../formats/weather/make.ts';

const YEAR = invent([2019]);
const lines = epw(YEAR);
const text = lines.join('\r\n');
let folder = '';
const file = (name: string, content: string | Uint8Array) => {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
};
const ghiOf = async (path: string) => {
  const read = await readWeather(path);
  if (read.kind !== 'hourly') throw new Error('hourly weather was expected');
  return read;
};
const sentence = async (path: string): Promise<string> => {
  try {
    await readWeather(path);
  } catch (error) {
    if (error instanceof UserError) return error.problems.map(formatProblem).join('\n').replaceAll(folder, 'DIR');
    throw error;
  }
  throw new Error('the file was read without a word');
};

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'weather-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('readWeather', () => {
  const ghi = YEAR.map((h) => h.ghi);

  it('reads plain and gzipped files, whatever their name', async () => {
    expectSame((await ghiOf(file('a.txt', text))).hours.ghi_W_m2, ghi);
    expectSame((await ghiOf(file('b', gzipSync(text)))).hours.ghi_W_m2, ghi);
    const half = Math.floor(text.length / 2);
    const members = Buffer.concat([gzipSync(text.slice(0, half)), gzipSync(text.slice(half))]);
    expectSame((await ghiOf(file('members.epw.gz', members))).hours.ghi_W_m2, ghi);
    const json = gzipSync(JSON.stringify(powerJson(invent([2019], { ...PLACE, utcOffset_h: 0.68 }))));
    expect((await readWeather(file('c.json', json))).format).toBe('POWER hourly JSON');
  });

  it('reads a byte-order mark, UTF-16 and Latin-1', async () => {
    expectSame((await ghiOf(file('bom', `\ufeff${text}`))).hours.ghi_W_m2, ghi);
    expectSame((await ghiOf(file('utf16', Buffer.from(`\ufeff${text}`, 'utf16le')))).hours.ghi_W_m2, ghi);
    expectSame((await ghiOf(file('utf16be', Buffer.from(`\ufeff${text}`, 'utf16le').swap16()))).hours.ghi_W_m2, ghi);
    const accented = text.replace('Ossel', 'Ösel').replace('invented for tests', 'températures en °C');
    const utf8 = await ghiOf(file('utf8', accented));
    const latin = await ghiOf(file('latin', Buffer.from(accented, 'latin1')));
    expect(utf8.place.name).toBe('Ösel, hut, XXX');
    expect(latin.place.name).toBe('Ösel, hut, XXX');
    expect(latin.notes).toContain('The text is not UTF-8: it is read as Latin-1.');
    expect(utf8.notes.join()).not.toContain('Latin-1');
    expectSame(latin.hours.ghi_W_m2, ghi);
    // A sign that is no UTF-8 far behind the first piece, in a gzip.
    const last = text.lastIndexOf('?9?9');
    const late = Buffer.from(`${text.slice(0, last)}\u00b09${text.slice(last + 4)}`, 'latin1');
    const lateFile = await ghiOf(file('late.gz', gzipSync(late)));
    expectSame(lateFile.hours.ghi_W_m2, ghi);
    expect(lateFile.notes.join()).toContain('Latin-1');
  });

  it('says what is wrong with the path', async () => {
    expect(await sentence(join(folder, 'none.epw'))).toBe('DIR/none.epw: There is no such file. [file.absent]');
    expect(await sentence(folder)).toBe('DIR: This is a directory: name the weather file in it. [file.directory]');
    expect(await sentence(join(file('d', 'x'), 'e'))).toContain('a part of its path is no directory');
    expect(await sentence(join(folder, 'n\u0000'))).toContain('[file.absent]');
    expect(await sentence(join(folder, 'x'.repeat(5000)))).toContain('the path is too long');
    symlinkSync(join(folder, 'loop'), join(folder, 'loop'));
    expect(await sentence(join(folder, 'loop'))).toContain('its links go round in a circle');
    mkdirSync(join(folder, 'empty'));
    expect(await sentence(file('nothing', ''))).toContain('The file is empty. [weather.empty]');
  });

  it('says when a file may not be read', async () => {
    const path = file('locked', text);
    chmodSync(path, 0);
    chmodSync(folder, 0o755);
    // The superuser may read any file: for the length of this test it becomes a user who may not.
    const superuser = process.geteuid?.() === 0;
    if (superuser) process.seteuid?.(65534);
    try {
      expect(await sentence(path)).toBe(
        'DIR/locked: The file may not be read: its permissions forbid it. [file.unreadable]',
      );
    } finally {
      if (superuser) process.seteuid?.(0);
    }
  });

  it('says when a gzip is cut off or damaged', async () => {
    const packed = gzipSync(text);
    expect(await sentence(file('cut.gz', packed.subarray(0, 20_000)))).toContain(
      'cut off before its end: fetch it again. [file.cutGzip]',
    );
    expect(await sentence(file('short.gz', packed.subarray(0, 2)))).toContain('[file.cutGzip]');
    const hurt = Uint8Array.from(packed);
    hurt.fill(0xff, 5000, 5100);
    expect(await sentence(file('hurt.gz', hurt))).toMatch(/\[file\.damagedGzip\]/);
    const wrong = Uint8Array.from(packed);
    wrong[wrong.length - 6] = wrong[wrong.length - 6]! ^ 0xff;
    expect(await sentence(file('wrong.gz', wrong))).toContain('[file.damagedGzip]');
  });

  it('hands the problems of the contents on, with the path', async () => {
    const broken = text.replace(/,9\.9,|,-?\d+\.\d,0\.0,/, ',NaN,0.0,');
    expect(await sentence(file('nan.epw', broken))).toBe(
      'DIR/nan.epw:9:20: dry bulb temperature: "NaN" stands where a number should. [weather.field]',
    );
    expect(await sentence(file('zip', Buffer.from('504b0304140000000800', 'hex')))).toContain('is a zip archive');
    expect(await sentence(file('bytes', Buffer.from([0xff, 0xfe, 0x00])))).toContain('[weather.');
  });

  it('stops reading a gzip that unpacks to far more than 200 years', async () => {
    const bomb = gzipSync(Buffer.alloc(50_000_000, '\n'));
    expect(await sentence(file('bomb.gz', bomb))).toContain('10,000 blanks');
    const rows = gzipSync(`# latitude_deg: 46\n${'#\n'.repeat(3_000_000)}`);
    expect(await sentence(file('rows.gz', rows))).toContain('more than 1,760,000 rows');
  });
});
