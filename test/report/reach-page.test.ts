import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { encodePng } from '../../src/formats/png.ts';
import { type ReachPageInput, reachPage } from '../../src/report/index.ts';
import { missedSentence } from '../../src/report/reach-page.ts';
import { checkPage } from './check-page.ts';

const png = encodePng({ width: 4, height: 4, data: new Uint8Array(48).map((_, i) => (i * 37) % 256) });
const place = (name: string, reached: boolean, x: number, y: number) => ({
  name,
  reached,
  x,
  y,
  distance_km: 4.25,
  azimuth_deg: 118,
  margin_dB: reached ? 12.4 : -3.6,
  odds: reached ? 0.94 : 0.31,
  sight: reached ? 'clear' : 'several edges',
  dominant: reached ? 'free space' : 'several edges',
});
const profile = (to: string) => ({
  from: { name: 'Hut Kaldra', height_m: 5 },
  to: { name: to, height_m: 1.5 },
  distance_km: Float64Array.from({ length: 41 }, (_, i) => i / 10),
  height_m: Float64Array.from({ length: 41 }, (_, i) => 2100 - 15 * i + 60 * Math.sin(i)),
  clutter_m: undefined,
  effectiveRadius_km: 8500,
  wavelength_m: 0.345,
  obstacles: [{ distance_km: 2, above_m: 14, clutter: false }],
  sentence: `The way from Hut Kaldra to ${to} is cut.`,
});
const input: ReachPageInput = {
  perch: 'Hut Kaldra',
  kit: 'Alder 3',
  to: 'hand-held',
  latitude_deg: 46.425,
  longitude_deg: 10.195,
  ground_m: 2148,
  height_m: 5,
  targetHeight_m: 1.5,
  setting: 'SF8 / 125 kHz / 4:6',
  frequency_MHz: 869.525,
  mostLoss_dB: { there: 140.5, back: 139.2 },
  farthest_km: 14.9,
  verdict: 'Hut Kaldra reaches 28 % of the ground within 15 km.',
  map: { png_base64: Buffer.from(png).toString('base64'), span_km: 15.3, radius_km: 15 },
  shares: [
    { what: 'reached', share: 0.28 },
    { what: 'over edges', share: 0.057, part: true },
  ],
  places: [place('Hut Serin', false, 0.3, 0.6), place('Hut Varn', true, 0.7, 0.48)],
  profiles: [profile('Hut Serin'), profile('Hut Varn')],
  panorama: {
    name: 'Hut Kaldra',
    latitude_deg: 46.425,
    longitude_deg: 10.195,
    skyline_deg: new Float32Array(360).map((_, i) => 6 + 4 * Math.sin(i / 20)),
    layers: [{ to_km: 15, elevation_deg: new Float32Array(360).fill(2) }],
    darkestMonth: 12,
    months: Array.from({ length: 12 }, (_, i) => ({ month: i + 1, open_h: 12, visible_h: 10 })),
    others: [],
  },
  role: {
    role: 'relay',
    reason: 'it joins 2 pairs',
    links: [{ name: 'Orla ridge', distance_km: 3.8, margin_dB: 41.2, odds: 0.999, sight: 'clear' }],
  },
  limits: { region: 'EU', lines: [{ end: 'Hut Kaldra', text: 'keeps a rule, confirmed.', within: true }] },
  notes: ['No tile covers 12 cells.'],
  assumptions: [{ field: '--clutter', value: 'none', why: 'bare ground' }],
  cautions: [{ code: 'work-at-height', text: 'First avoid the climb.' }],
  generatedFrom: ['perch.yaml', 'kit.yaml'],
};

describe('reach page', () => {
  const html = reachPage(input);

  it('has every section, the answer first, and needs nothing from outside', () => {
    checkPage(html);
    expect([...html.matchAll(/<section id="([^"]+)"/g)].map((m) => m[1])).toEqual([
      'map',
      'shares',
      'places',
      'profiles',
      'panorama',
      'role',
      'limits',
      'notes',
      'assumptions',
      'cautions',
    ]);
    expect(html.indexOf('<h1>')).toBeLessThan(html.indexOf('<section'));
    expect(html).toMatch(/<h1>Hut Kaldra reaches 28\u00a0% of the ground within 15\u00a0km\.<\/h1>/);
    expect(html).toContain('Not reached: Hut Serin.');
    for (const text of [
      '−3.6',
      '5.7',
      'would serve best as relay',
      'keeps a rule, confirmed.',
      'First avoid the climb.',
    ])
      expect(html).toContain(text);
    expect(html).toMatch(/<details>.*How was this computed.*ITU-R P\.526-15.*kit\.yaml/s);
    for (const part of ['prefers-color-scheme:dark', '@media print', '@page', 'max-width:640px'])
      expect(html).toContain(part);
    expect(html.length).toBeLessThan(300_000);
  });

  it('holds the picture of the map once, and a side view of each way for wide and narrow', () => {
    expect(html.split(input.map.png_base64).length - 1).toBe(1);
    expect(html.match(/<title id="profile-\d(-narrow)?-t">/g)?.length).toBe(4);
  });

  it('marks places where they lie: in the wide map 0.7 of 752 px from the left', () => {
    const map = html.slice(html.indexOf('id="map-places-t"'), html.indexOf('id="map-places-narrow-t"'));
    expect(map).toContain('<circle cx="526.4" cy="360.96" r="4" class="sp-f-ink sp-s-ink"');
    expect(map).toContain('<circle cx="225.6" cy="451.2" r="4" class="sp-s-ink"');
  });

  it('says which setting keeps no rule', () => {
    const over = { region: 'JP', lines: [{ end: 'x', text: 'keeps no rule.', within: false }] };
    expect(reachPage({ ...input, limits: over })).toContain('do not transmit with it before the local authority');
  });

  it('leaves out what was not asked for', () => {
    const bare = reachPage({ ...input, places: [], profiles: [], role: null, limits: null, notes: [] });
    checkPage(bare);
    for (const id of ['places', 'profiles', 'role', 'limits', 'notes']) expect(bare).not.toContain(`id="${id}"`);
    expect(bare).toContain('No places were named');
    expect(missedSentence([{ name: 'a', reached: true }])).toBe('All named places are reached.');
  });

  it('escapes names, wherever they come from, and refuses a picture that is not base64', () => {
    fc.assert(
      fc.property(fc.oneof(fc.constant('<script>alert("1")</script>&\''), fc.string({ unit: 'binary' })), (evil) => {
        const page = reachPage({
          ...input,
          perch: evil,
          kit: evil,
          to: evil,
          setting: evil,
          verdict: evil,
          places: input.places.map((p) => ({ ...p, name: evil, sight: evil, dominant: evil })),
          profiles: [{ ...profile(evil), sentence: `way ${evil}` }],
          panorama: { ...input.panorama, name: evil },
          role: { role: evil, reason: evil, links: [{ ...input.role!.links[0]!, name: evil, sight: evil }] },
          limits: { region: evil, lines: [{ end: evil, text: evil, within: false }] },
          notes: [evil],
          assumptions: [{ field: evil, value: evil, why: evil }],
          cautions: [{ code: evil, text: evil }],
          generatedFrom: [evil],
        });
        checkPage(page);
        expect(page).not.toContain('<script');
      }),
      { seed: 1, numRuns: 4 },
    );
    const bad = { ...input.map, png_base64: '"/><script>' };
    expect(() => reachPage({ ...input, map: bad })).toThrow(RangeError);
  });
});
