import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type LinkOutcome, type LinkRequest, pathBetween } from '../../src/app/path-between.ts';
import { parsePosition } from '../../src/app/path-ends.ts';
import type { Ports } from '../../src/app/ports.ts';
import { profileChart } from '../../src/report/index.ts';
import { kitText, perchText } from '../records/reading.ts';
import { checkPicture } from '../report/xml.ts';
import { profileCsv } from './radio-cases.ts';
import { PORTS, problemsOf } from './real-ports.ts';

const RADIO =
  '{ frequency_MHz: 868.3, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: 4/6, power_dBm: 14, noiseFigure_dB: 6 }';
const ANTENNA = '{ gain_dBi: 2, pattern: isotropic, feederLoss_dB: 0.5, vswr: 1 }';
const KIT = kitText({ radio: RADIO, antenna: ANTENNA });
const perch = (name: string, latitude: string, height: string) =>
  perchText({ name, latitude_deg: latitude, height_m: height, environment: 'quiet-rural' });

/** A valley between two hills, 6 km: the ray runs 100 m and more above it. */
const VALLEY = profileCsv([0, 0.5, 1, 2, 3, 4, 5, 5.5, 6], [500, 380, 300, 300, 300, 300, 300, 380, 500]);
/** The same with a ridge that stands 60 m over the ray. */
const RIDGE = profileCsv([0, 0.5, 1, 2, 3, 4, 5, 5.5, 6], [500, 380, 300, 300, 570, 300, 300, 380, 500]);

const FILES: Readonly<Record<string, string>> = {
  'kit.yaml': KIT,
  'strong.yaml': KIT.replace('power_dBm: 14', 'power_dBm: 20').replace('Test kit', 'Strong kit'),
  'hut.yaml': perch('Hut', '46.4', '10'),
  'post.yaml': perch('Post', '46.454', '10'),
  'valley.csv': VALLEY,
  'ridge.csv': RIDGE,
};

const ports = (more: Readonly<Record<string, string>> = {}): Ports => ({
  ...PORTS,
  readText: async (path) => {
    const text = { ...FILES, ...more }[path];
    return text ?? PORTS.readText(path);
  },
});

const BETWEEN: LinkRequest = {
  a: 'hut.yaml',
  b: 'post.yaml',
  kitA: 'kit.yaml',
  kitB: 'kit.yaml',
  profile: 'valley.csv',
};
const run = async (change: Partial<LinkRequest> = {}, more: Record<string, string> = {}): Promise<LinkOutcome> =>
  (await pathBetween(ports(more), { ...BETWEEN, ...change })).outcome;

describe('a link', () => {
  it('over a free valley has the margin of a hand calculation', async () => {
    const told = await run();
    // Free space: 92.4 + 20 log 0.8683 + 20 log 6 = 106.736 dB. Sent 14 - 0.5 + 2, received + 2 - 0.5: 17 dB, so -89.74 dBm arrive.
    // Needed: -174 + 10 log 125,000 + 6 - 10 = -127.03 dBm. Margin 37.29 dB.
    expect(told.there.received_dBm).toBeCloseTo(-89.74, 2);
    expect(told.margin_dB).toBeCloseTo(37.29, 1);
    expect(told).toMatchObject({
      state: 'closes',
      dominant: 'free space',
      method: 'p1812',
      kind: 'clear',
      closesWith: 7,
    });
    expect(told.diffraction_dB).toBe(0);
    expect(told.spread_dB).toBe(6);
    expect(told.odds).toBeGreaterThan(0.999);
    expect(told.masts).toEqual([]);
    expect(told.verdict).toMatch(/^The link from Hut to Post, 6\.00 km, closes: 37\.\d dB to spare on its weaker way/);
    expect(told.there.snr_dB).toBeCloseTo(told.margin_dB - 10, 9);
  });

  it('over a ridge says what is in the way, how much mast would clear it and what that brings', async () => {
    const told = await run({ profile: 'ridge.csv' });
    expect(told).toMatchObject({ dominant: 'one edge', kind: 'obstructed', spread_dB: 10 });
    // In the middle: ray at 510 m, ridge 570 m, bulge 500/8930.8·9 = 0.504 m; zone there sqrt(0.34527·1500) = 22.76 m, of which 60 %.
    expect(told.inTheWay[0]!.above_m).toBeCloseTo(60.5, 1);
    const both = told.masts.find((m) => m.end === 'both')!;
    expect(both.raise_m).toBeCloseTo(60.504 + 0.6 * 22.757, 0);
    const alone = told.masts.find((m) => m.end === 'a')!;
    expect(alone.raise_m).toBeCloseTo(2 * both.raise_m, 0);
    expect(both.gained_dB).toBeCloseTo(told.diffraction_dB, 0);
    expect(told.mastAdvice).toContain('look for another place');
    expect(told.cautions.map((c) => c.code)).toContain('work-at-height');
  });

  it('a longer spreading factor gains what the limits of the data sheet say', async () => {
    const told = await run({ profile: 'ridge.csv' });
    const margin = (sf: number) => told.spreadingFactors.find((row) => row.sf === sf)!.margin_dB;
    // Limits -7.5 dB at SF7 to -20 dB at SF12 (SX1276 data sheet).
    expect(margin(12) - margin(7)).toBeCloseTo(12.5, 9);
    expect(margin(8)).toBeCloseTo(told.margin_dB, 9);
    expect(told.spreadingFactors.map((row) => row.sf)).toEqual([7, 8, 9, 10, 11, 12]);
  });

  it('is as good as its weaker way', async () => {
    const told = await run({ kitB: 'strong.yaml' });
    expect(told.back.margin_dB - told.there.margin_dB).toBeCloseTo(6, 9);
    expect(told.margin_dB).toBe(told.there.margin_dB);
  });

  it('seen from the other end exchanges the two ways', async () => {
    const turned = profileCsv([0, 0.5, 1, 2, 3, 4, 5, 5.5, 6], [480, 380, 300, 300, 570, 300, 300, 390, 500]);
    const other = profileCsv([0, 0.5, 1, 2, 3, 4, 5, 5.5, 6], [500, 390, 300, 300, 570, 300, 300, 380, 480]);
    const one = await run({ kitB: 'strong.yaml', profile: 'p.csv' }, { 'p.csv': other });
    const back = await run(
      { a: 'post.yaml', b: 'hut.yaml', kitA: 'strong.yaml', kitB: 'kit.yaml', profile: 'p.csv' },
      { 'p.csv': turned },
    );
    expect(back.there.margin_dB).toBeCloseTo(one.back.margin_dB, 9);
    expect(back.back.margin_dB).toBeCloseTo(one.there.margin_dB, 9);
    expect(back.odds).toBeCloseTo(one.odds, 12);
  });

  it('more power never lowers the odds, more loss never raises them', async () => {
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: -5, max: 20 }), fc.integer({ min: 0, max: 30 }), async (power, filter) => {
        const set = (p: number, f: number) => [`kit.radio.power_dBm=${p}`, `kit.radio.filterLoss_dB=${f / 2}`];
        const odds = async (p: number, f: number) => (await run({ profile: 'ridge.csv', set: set(p, f) })).odds;
        const here = await odds(power, filter);
        expect(await odds(power + 1, filter)).toBeGreaterThanOrEqual(here);
        expect(await odds(power, filter + 1)).toBeLessThanOrEqual(here);
      }),
      { seed: 1, numRuns: 15 },
    );
  });

  it('to a hand-held takes one at 1.5 m and says so', async () => {
    const told = await run({ kitB: undefined, b: '46.454,10.2' });
    expect(told.b).toMatchObject({ kit: 'hand-held', height_m: 1.5, name: '46.454 N 10.2 E' });
    const fields = told.assumptions.map((a) => a.field);
    expect(fields).toEqual(expect.arrayContaining(['b: --kit-b', 'b: height_m', '--square', 'b: perch.environment']));
    // A hand-held is carried about: P.1812 eq. 64 gives 0.54·100^0.28 m = 1.97 dB, less for 1.5 m of height.
    expect(told.spread_dB).toBeGreaterThan(6);
    // Its mast cannot grow.
    const hilly = await run({ kitB: undefined, b: '46.454,10.2', profile: 'ridge.csv' });
    expect(hilly.masts.every((m) => m.end === 'a')).toBe(true);
  });

  it('with no kit at all takes two hand-helds', async () => {
    const told = await run({ a: '46.4,10.2', b: '46.454,10.2', kitA: undefined, kitB: undefined });
    expect([told.a.kit, told.b.kit]).toEqual(['hand-held', 'hand-held']);
  });

  it('indoors, in a wood or in a street loses more, by one of each', async () => {
    const hand = { kitB: undefined, b: '46.454,10.2' } as const;
    const open = await run(hand);
    const indoors = await run({ ...hand, indoors: 'traditional' });
    // ITU-R P.2109-2, median at 868.3 MHz, ray near the horizontal: 14.4 dB for a traditional building (test/golden/path-p2109.csv at 0.8-1 GHz).
    expect(open.margin_dB - indoors.margin_dB).toBeCloseTo(14.4, 0);
    expect(indoors.spread_dB).toBeGreaterThan(open.spread_dB);
    const thermal = await run({ ...hand, indoors: 'efficient' });
    expect(thermal.margin_dB).toBeLessThan(indoors.margin_dB);
    // P.833 at 868 MHz: between 0.12 dB/m at 466.5 MHz and 0.17 dB/m at 949 MHz; 50 m of it lose 6 to 8 dB.
    const wood = await run({ ...hand, woods_m: 50 });
    expect(wood.extraLosses[0]!.loss_dB).toBeGreaterThan(6);
    expect(wood.extraLosses[0]!.loss_dB).toBeLessThan(8);
    expect(wood.dominant).toBe('woods at one end');
    const town = await run({ ...hand, clutter: 'town' });
    expect(town.extraLosses[0]!.spread_dB).toBeGreaterThan(1);
    const street = await run({ ...hand, clutter: 'dense-urban', end: 'a' });
    expect(street.extraLosses[0]).toMatchObject({ end: 'a' });
  });

  it('measured links narrow the error band of their kind', async () => {
    const plain = await run();
    const expected = plain.there.snr_dB;
    const csv = (excess: number) =>
      `link,snr_dB,date,expectedSnr_dB\n${[1, 2, 3, 4, 5, 6]
        .map((i) => `x${i} > y${i},${-5 - excess},2026-03-0${i},-5`)
        .join('\n')}\n`;
    const narrowed = await run({ measured: 'm.csv' }, { 'm.csv': csv(2) });
    expect(narrowed.measured).toMatchObject({ kind: 'clear', prior_dB: 6, links: 6, rows: 6 });
    expect(narrowed.measured!.spread_dB).toBeLessThan(6);
    // Six links weigh against one of prior: 2·6/7 dB.
    expect(narrowed.measured!.excess_dB).toBeCloseTo(12 / 7, 9);
    expect(plain.margin_dB - narrowed.margin_dB).toBeCloseTo(12 / 7, 9);
    // Both ways of the link at hand, under three of its names, count as one link.
    const own = `link,snr_dB,date\nhut > post,${expected - 30},2026-03-01\nPost > hut.yaml,${expected - 32},2026-03-02\nHUT > Post,5,\nhut > else,3,\n`;
    const mine = await run({ measured: 'm.csv' }, { 'm.csv': own });
    expect(mine.measured).toMatchObject({ links: 1 });
    expect(mine.notes.join()).toContain('1 row of m.csv is passed over: neither Hut > Post');
    const loud = await run({ measured: 'm.csv' }, { 'm.csv': 'link,snr_dB\nhut > post,10\n' });
    expect(loud.measured).toMatchObject({ links: 0, spread_dB: 6, excess_dB: 0 });
    expect(loud.notes.join()).toContain('a receiver tells less than there is');
  });

  it('a region judges both ends, duty cycle of the kit included', async () => {
    const load = '{ transmit: { power_dBm: 14, airtime_s_per_h: 120 }, parts: [{ current_mA: 5 }] }';
    const busy = kitText({ radio: RADIO, antenna: ANTENNA, load });
    const told = await run({ region: 'EU', kitB: 'busy.yaml' }, { 'busy.yaml': busy });
    expect(told.limits.map((l) => l.within)).toEqual([true, false]);
    // 120 s of 3600 s are 3.33 %, 868.0-868.6 MHz allows 1 % (Decision (EU) 2017/1483).
    expect(told.limits[1]!.text).toContain('3.33 % of the hour: 1 % are allowed');
  });

  it('a short path, low antennas and few points go by free space and diffraction, with a note', async () => {
    const near = profileCsv([0, 0.05, 0.1, 0.15, 0.2], [500, 490, 490, 490, 500]);
    const short = await run({ profile: 'n.csv', fade_dB: 5 }, { 'n.csv': near });
    expect(short.method).toBe('delta-bullington');
    expect(short.notes.join()).toContain('the path is 200 m long');
    expect((await run({ fromHeight_m: 0.5 })).notes.join()).toContain('less than 1 m above the ground');
  });

  it('a fade margin is taken off the margin', async () => {
    expect((await run()).margin_dB - (await run({ fade_dB: 8 })).margin_dB).toBeCloseTo(8, 9);
  });

  it('a message costs what its time on air draws', async () => {
    const told = await run({ payload_bytes: 40 });
    // 176.64 ms (test/app/airtime.test.ts) at 3.3 V and the typical 90 mA of a 22 dBm stage at 14 dBm: 52.46 mJ.
    expect(told.message.timeOnAir_ms).toBeCloseTo(176.64, 6);
    expect(told.a.messageEnergy_mJ).toBeCloseTo(52.46, 2);
  });

  it('is drawn', async () => {
    const { picture } = await pathBetween(ports(), { ...BETWEEN, profile: 'ridge.csv' });
    for (const width of [752, 358]) {
      const { title, description } = checkPicture(profileChart(picture, { width }));
      expect(title).toBe('Profile from Hut to Post');
      expect(description).toContain('In the way: ground 3.00 km from Hut');
    }
  });
});

describe('bad input of a link', () => {
  it.each<[Partial<LinkRequest>, string | undefined, string]>([
    [{ profile: undefined }, '--terrain', 'the ground between the two ends is not given'],
    [{ a: '46.4,10.2', b: '46.4,10.2' }, undefined, 'stand at one spot'],
    [{ a: '95,10' }, '95,10', 'latitude comes first'],
    [{ a: '46.4,200' }, '46.4,200', 'it lies between -180 and 180'],
    [{ kitB: 'strong.yaml', setB: ['kit.radio.spreadingFactor=9'] }, 'kit.radio', 'they cannot hear each other'],
    [{ kitA: 'plain.yaml' }, 'kit.radio', 'radio is missing'],
    [{ woods_m: 10, clutter: 'urban' }, '--clutter', 'keep one'],
    [{ woods_m: -1 }, '--woods', 'it lies between 0 and 100,000 m'],
    [{ clutter: 'jungle' }, '--clutter', 'wanted is one of town, water, open'],
    [{ clutter: 'urban', profile: 'woods.csv' }, '--clutter', 'the trees count twice'],
    [{ odds_pct: 100 }, '--odds', 'lies between 50 and 99.9'],
    [{ spread_dB: -1 }, '--spread', 'lies between 0 and 40'],
    [{ time_pct: 60 }, '--time', 'no figure above 50 %'],
    [{ fromHeight_m: 0 }, '--from-height', 'Give the height above the ground'],
    [{ region: 'Mars' }, 'region', 'is no region of the table'],
    [{ payload_bytes: 300 }, '--payload', '0 to 255 whole bytes'],
    [{ coSitedA: { eirp_dBm: 40, distance_m: 0, frequency_MHz: 1800 } }, '--co-sited', 'e.g. 40,15,1800'],
    [{ set: ['kit.radio.spreadingFactor=13'] }, 'kit.radio.spreadingFactor', 'lies between 5 and 12'],
  ])('%j is told', async (change, field, message) => {
    const more = {
      'plain.yaml': kitText(),
      'woods.csv': profileCsv([0, 1, 2, 3, 4], [1, 1, 1, 1, 1], [0, 0, 9, 0, 0]),
    };
    const found = await problemsOf(() => run(change, more));
    expect(found.map((p) => p.message).join('\n')).toContain(message);
    expect(found[0]!.field).toBe(field);
  });
});

describe('a place on the command line', () => {
  it('is read with signs or letters, with or without height', () => {
    expect(parsePosition('46.4,10.2')).toEqual({ latitude_deg: 46.4, longitude_deg: 10.2, height_m: undefined });
    expect(parsePosition(' -44.3, 168.9 , 7 ')).toEqual({ latitude_deg: -44.3, longitude_deg: 168.9, height_m: 7 });
    expect(parsePosition('44.3S,70.5W,7.5')).toEqual({ latitude_deg: -44.3, longitude_deg: -70.5, height_m: 7.5 });
    for (const file of ['hut.yaml', '46.4', '46.4;10.2', '1,2,3,4', './46,10.yaml'])
      expect(parsePosition(file)).toBeUndefined();
  });
});
