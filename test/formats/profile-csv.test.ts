import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkProfile, ZONE } from '../../src/core/path/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { readProfileCsv } from '../../src/formats/profile-csv.ts';

describe('a profile in CSV', () => {
  it('reads all four columns', () => {
    const { profile, notes } = readProfileCsv(
      'distance_km,height_m,clutter_m,zone\n0,100,0,inland\n0.5,120.5,10,coast\n1.25,-2,,sea\n',
    );
    expect([...profile.distance_km]).toEqual([0, 0.5, 1.25]);
    expect([...profile.height_m]).toEqual([100, 120.5, -2]);
    expect([...profile.clutter_m!]).toEqual([0, 10, 0]);
    expect([...profile.zone!]).toEqual([ZONE.inland, ZONE.coast, ZONE.sea]);
    expect(notes).toEqual([]);
    checkProfile(profile);
  });

  it('reads two columns in another order, with comments, other signs between and other columns', () => {
    const { profile, notes } = readProfileCsv(
      '\ufeff# from a map\r\nHeight_m;name;DISTANCE_KM\r\n\r\n1;"a;b";0\r\n2;c;1\r\n3;d;2',
    );
    expect([...profile.distance_km]).toEqual([0, 1, 2]);
    expect([...profile.height_m]).toEqual([1, 2, 3]);
    expect(profile.clutter_m).toBeUndefined();
    expect(profile.zone).toBeUndefined();
    expect(notes).toEqual(['The column "name" is passed over.']);
  });

  it('takes a start off the distances, and says so', () => {
    const { profile, notes } = readProfileCsv('distance_km,height_m\n2,1\n3,1\n4.5,1\n');
    expect([...profile.distance_km]).toEqual([0, 1, 2.5]);
    expect(notes.join()).toMatch(/starts at 2 km/);
  });

  it.each([
    ['', /holds no profile/],
    ['# only this\n', /holds no profile/],
    ['distance_m,height_m\n0,1\n', /distance_km is missing.*There is "distance_m"/],
    ['distance_km,elevation\n0,1\n', /height_m is missing/],
    ['distance_km,height_m,height_m\n0,1,1\n', /stands twice/],
    ['distance_km,height_m\n0,1\n1,1\n', /2 points: at least 3/],
    ['distance_km,height_m\n0,1\n2,1\n1,1\n', /1 km after 2 km: distances must rise/],
    ['distance_km,height_m\n0,1\n1,1\n1,1\n', /drop doubles/],
    ['distance_km,height_m\n0,1\n1\n2,1\n', /height_m is missing/],
    ['distance_km,height_m\n0,1\n1,NaN\n2,1\n', /"NaN" stands/],
    ['distance_km,height_m\n0,1\n1,99999\n2,1\n', /height_m is 99999/],
    ['distance_km,height_m\n-1,1\n1,1\n2,1\n', /distance_km is -1/],
    ['distance_km,height_m,clutter_m\n0,1,0\n1,1,-5\n2,1,0\n', /clutter_m is -5/],
    ['distance_km,height_m,clutter_m,zone\n0,1,0,sea\n1,1,0,lake\n2,1,0,sea\n', /"lake" is no zone/],
    ['distance_km,height_m\n0,1\n\u0000', /no text/],
  ])('%j', (text, words) => {
    expect(() => readProfileCsv(text, 'p.csv')).toThrow(UserError);
    expect(() => readProfileCsv(text, 'p.csv')).toThrow(words);
  });

  it('names the line and the field', () => {
    try {
      readProfileCsv('# note\ndistance_km,height_m\n0,1\n1,x\n2,1\n', 'p.csv');
      expect.unreachable();
    } catch (error) {
      expect((error as UserError).problems).toEqual([
        {
          code: 'profile.number',
          message: '"x" stands where a number should.',
          place: { file: 'p.csv', line: 4, field: 'height_m' },
        },
      ]);
    }
  });

  it('answers any bytes with a sound profile or a sentence', () => {
    const decoder = new TextDecoder();
    const words = fc.constantFrom(
      'distance_km',
      'height_m',
      'clutter_m',
      'zone',
      ',',
      ';',
      '\n',
      '\t',
      '0',
      '1',
      '2.5',
      'sea',
      '"',
      '#',
      '-',
      '1e400',
    );
    const anything = fc.oneof(
      fc.uint8Array({ maxLength: 300 }).map((bytes) => decoder.decode(bytes)),
      fc.array(words, { maxLength: 60 }).map((list) => list.join('')),
      fc.array(words, { maxLength: 60 }).map((list) => `distance_km,height_m,zone\n${list.join('')}`),
      fc
        .array(fc.tuple(fc.integer({ min: 0, max: 30 }), fc.integer({ min: -600, max: 600 })), { maxLength: 6 })
        .map((rows) => `distance_km,height_m\n${rows.map((row) => row.join(',')).join('\n')}`),
    );
    fc.assert(
      fc.property(anything, (text) => {
        try {
          checkProfile(readProfileCsv(text).profile);
        } catch (error) {
          expect(error).toBeInstanceOf(UserError);
          expect((error as UserError).problems[0]!.code).toMatch(/^profile\./); // the reader's own word, not the core's
        }
      }),
      { seed: 1, numRuns: 3000 },
    );
  });
});
