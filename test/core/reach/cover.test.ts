import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../src/core/math/index.ts';
import { deltaBullington, type Wave, wavelength_m } from '../../../src/core/path/index.ts';
import {
  type CoverageGround,
  coverPath,
  coverSector,
  createCoverageOut,
  createRadialScratch,
  planCoverage,
  profileBetween,
  radialLosses,
  standingLoss_dB,
} from '../../../src/core/reach/index.ts';
import { shelters } from '../../../src/core/reach/wood.ts';
import { type CoverKind, OPEN_GROUND, paintCover } from '../../../src/core/terrain/index.ts';
import { readGolden } from '../../golden.ts';
import { hills } from './hills.ts';

const WAVE: Wave = { frequency_GHz: 0.949, wavelength_m: wavelength_m(949), polarization: 'vertical', seaShare: 0 };
const KINDS: readonly CoverKind[] = [
  OPEN_GROUND,
  { cover: 'woods', height_m: 15, loss_dB: undefined },
  { cover: 'houses', height_m: 10, loss_dB: undefined },
  { cover: 'low plants', height_m: 2, loss_dB: undefined },
  { cover: 'woods', height_m: 5, loss_dB: undefined },
];

/** Stretches of kinds along a profile, woods with soft edges. */
function coverOf(seed: number, n: number) {
  const random = createRandom(seed);
  const kind = new Uint8Array(n);
  const longest = 1 + random.below(40);
  for (let i = 0; i < n; ) {
    const k = random.below(KINDS.length);
    const end = Math.min(n, i + 1 + random.below(longest));
    kind.fill(k, i, end);
    i = end;
  }
  const woods = Float32Array.from(kind, (k) => (KINDS[k]!.cover === 'woods' ? 1 : random.next() < 0.1 ? 0.3 : 0));
  return { kind, woods };
}

const cases = fc.record({
  seed: fc.integer({ min: 1, max: 1e6 }),
  n: fc.integer({ min: 5, max: 200 }),
  relief_m: fc.constantFrom(0, 5, 60, 300),
  step_km: fc.constantFrom(0.015, 0.03, 0.2),
  fromHeight_m: fc.constantFrom(1.5, 6, 30),
  toHeight_m: fc.constantFrom(1.5, 8),
});

describe('cover along a radial', () => {
  it('agrees with each profile on its own, to 0.01 dB and 0.1 m of wood', () => {
    let worst_dB = 0;
    let worst_m = 0;
    let woods = 0;
    fc.assert(
      fc.property(cases, ({ seed, n, relief_m, step_km, fromHeight_m, toHeight_m }) => {
        const random = createRandom(seed);
        const ground_m = Float64Array.from(
          { length: n },
          (_, i) => 800 + relief_m * Math.sin(i / (5 + (seed % 9))) + 2 * random.normal(),
        );
        const { kind, woods: share } = coverOf(seed + 1, n);
        const top_m = Float64Array.from(KINDS, (k) => k.height_m);
        const obstacle_m = ground_m.map((h, i) => h + top_m[kind[i]!]!);
        const distance_km = Float64Array.from({ length: n }, (_, i) => i * step_km);
        const profile = { distance_km, ground_m, kind, woods: share };
        const result = {
          diffraction_dB: new Float32Array(n),
          sight: new Uint8Array(n),
          leaves_mrad: new Float32Array(n),
          arrives_mrad: new Float32Array(n),
        };
        const cover = {
          profile,
          top_m,
          aroundFrom: shelters(KINDS, fromHeight_m),
          aroundTo: shelters(KINDS, toHeight_m),
          fromDepth_m: new Float32Array(n),
          toDepth_m: new Float32Array(n),
        };
        const setting = { step_km, fromHeight_m, toHeight_m, radius_km: 8500, wave: WAVE };
        radialLosses(ground_m, obstacle_m, n, 1, setting, createRadialScratch(n), result, cover);
        for (let j = 2; j < n; j++) {
          const m = j + 1;
          const part = {
            distance_km: distance_km.subarray(0, m),
            ground_m: ground_m.subarray(0, m),
            kind: kind.subarray(0, m),
            woods: share.subarray(0, m),
          };
          const own = coverPath(part, KINDS, fromHeight_m, toHeight_m, 8500);
          const bare_m = part.ground_m.map((h, i) => h + (i === 0 || i === j ? 0 : own.clutter_m[i]!));
          const walk = deltaBullington({
            distance_km: part.distance_km,
            height_m: part.ground_m,
            obstacle_m: bare_m,
            n: m,
            from_m: ground_m[0]! + fromHeight_m,
            to_m: ground_m[j]! + toHeight_m,
            radius_km: 8500,
            wave: WAVE,
          });
          worst_dB = Math.max(worst_dB, Math.abs(result.diffraction_dB[j]! - walk.loss_dB));
          worst_m = Math.max(worst_m, Math.abs(cover.toDepth_m[j]! - (own.to?.depth_m ?? 0)));
          worst_m = Math.max(worst_m, Math.abs(cover.fromDepth_m[j]! - (own.from?.depth_m ?? 0)));
          if (own.to?.depth_m) woods++;
        }
      }),
      { seed: 1, numRuns: 100 },
    );
    expect(woods).toBeGreaterThan(1000);
    expect(worst_dB).toBeLessThan(0.01);
    expect(worst_m).toBeLessThan(0.1);
  });
});

const FRAME = { kind: 'plane', rowStep_km: 0.03, columnStep_km: 0.03 } as const;
const SIZE = 240;

/** A raster with one polygon, corners by column and row. */
function ground(height_m: Float32Array, kind: number, ring: readonly number[], kinds = KINDS): CoverageGround {
  const cells = SIZE * SIZE;
  const cover = { kind: new Uint8Array(cells), woods: new Uint8Array(cells), kinds };
  paintCover(SIZE, SIZE, [{ kind, rings: [Float64Array.from(ring)] }], kinds, cover.kind, cover.woods);
  return { rows: SIZE, columns: SIZE, frame: FRAME, height_m, cover };
}

function coverage(at: CoverageGround, centre: { row: number; column: number }, reach_km = 1.6) {
  const ends = { fromHeight_m: 6, toHeight_m: 1.5, radius_km: 8500, wave: WAVE };
  const plan = planCoverage(at, centre, reach_km, ends);
  const out = createCoverageOut(SIZE * SIZE, false, true);
  coverSector(plan, 0, plan.radials, out);
  return out;
}

describe('cover around the ends', () => {
  const flat = new Float32Array(SIZE * SIZE);
  const centre = { row: 120, column: 120 };

  it('in a wood of known depth is the loss of ITU-R P.833 and no other', () => {
    // Wood from column 150.3 on; a place at column 153.6333 stands 100 m inside: 12.55 dB at 949 MHz (test/core/path/around.test.ts, by hand).
    const at = ground(flat, 1, [150.3, -0.5, 239.5, -0.5, 239.5, 239.5, 150.3, 239.5]);
    const to = { row: 120, column: 150.3 + 100 / 30 };
    const p = profileBetween(at, centre, to);
    const path = { distance_km: p.distance_km, ground_m: p.height_m, kind: p.kind!, woods: p.woods! };
    const found = coverPath(path, KINDS, 6, 1.5, 8500);
    expect(standingLoss_dB(found.to!, 1.5, 949).loss_dB).toBeCloseTo(12.548, 1);
    expect(found.to!.depth_m).toBeCloseTo(100, 0);
    expect(found.clutter_m.subarray(0, -1).every((h) => h === 0)).toBe(true);
    // The same slantwise: 100 m along the ray.
    const slant = profileBetween(at, centre, { row: 130, column: 160 });
    const inside_m = (1000 * slant.distance_km.at(-1)! * (160 - 150.3)) / 40;
    const wood = { distance_km: slant.distance_km, ground_m: slant.height_m, kind: slant.kind!, woods: slant.woods! };
    expect(coverPath(wood, KINDS, 6, 1.5, 8500).to!.depth_m).toBeCloseTo(inside_m, 0);
  });

  it('on a coverage are those of each cell’s own profile', () => {
    const at = ground(flat, 1, [150.3, 40, 200, 60, 210, 190, 140, 170]);
    const out = coverage(at, centre, 2.8);
    const errors_dB: number[] = [];
    for (let row = 70; row < 160; row += 7)
      for (let column = 156; column < 195; column += 5) {
        const p = profileBetween(at, centre, { row, column });
        const path = { distance_km: p.distance_km, ground_m: p.height_m, kind: p.kind!, woods: p.woods! };
        const own = coverPath(path, KINDS, 6, 1.5, 8500);
        const k = row * SIZE + column;
        expect(at.cover!.kind[k]).toBe(1);
        const { loss_dB, spread_dB } = standingLoss_dB(own.to!, 1.5, 949);
        errors_dB.push(Math.abs(out.ends_dB![k]! - loss_dB));
        expect(out.endsSpread_dB![k]).toBeCloseTo(spread_dB, 1);
      }
    errors_dB.sort((a, b) => a - b);
    expect(errors_dB.length).toBeGreaterThan(90);
    expect(errors_dB.at(-1)).toBeLessThan(0.05);
  });

  it('among houses is the height gain of ITU-R P.2108, at both ends', () => {
    const golden = readGolden('path-p2108.csv').rows.find((r) => r['kind'] === 'suburban' && r['height_m'] === '2.0')!;
    const houses: CoverKind = { cover: 'houses', height_m: 10, loss_dB: undefined };
    expect(standingLoss_dB({ kind: houses, depth_m: null }, 2, 1500).loss_dB).toBeCloseTo(Number(golden['loss_dB']), 1);
    const out = coverage(ground(flat, 2, [-0.5, -0.5, 239.5, -0.5, 239.5, 239.5, -0.5, 239.5]), centre);
    const at = (height_m: number) => standingLoss_dB({ kind: houses, depth_m: null }, height_m, 949).loss_dB;
    expect(out.ends_dB![130 * SIZE + 170]).toBeCloseTo(at(6) + at(1.5), 4);
    // No stretch of it stands in the way besides.
    const bare = coverage(ground(flat, 2, [500, 500, 501, 500, 501, 501]), centre);
    expect(out.loss_dB[130 * SIZE + 170]).toBeCloseTo(bare.loss_dB[130 * SIZE + 170]!, 4);
    expect(bare.ends_dB![130 * SIZE + 170]).toBe(0);
  });

  it('told by the user takes the place of the computed one', () => {
    const kinds: CoverKind[] = [OPEN_GROUND, { cover: 'woods', height_m: 15, loss_dB: 7 }];
    const out = coverage(ground(flat, 1, [150, -0.5, 239.5, -0.5, 239.5, 239.5, 150, 239.5], kinds), centre);
    expect(out.ends_dB![120 * SIZE + 165]).toBeCloseTo(7, 6);
    expect(out.endsSpread_dB![120 * SIZE + 165]).toBe(0);
  });

  it('counts a wood only as far as the ray runs below its tops, and one wood at both ends once', () => {
    // Tops 13.5 m above the hand-held and a ray that rises 100 m over 1 km: it leaves them after 135 m.
    const ramp = Float32Array.from({ length: SIZE * SIZE }, (_, k) => (k % SIZE < 140 ? 100 : 0));
    const edge = [150, -0.5, 239.5, -0.5, 239.5, 239.5, 150, 239.5];
    const p = profileBetween(ground(ramp, 1, edge), { row: 120, column: 138.5 }, { row: 120, column: 190 });
    const path = { distance_km: p.distance_km, ground_m: p.height_m, kind: p.kind!, woods: p.woods! };
    const { to } = coverPath(path, KINDS, 6, 1.5, 1e9);
    const slope = (106 - 1.5) / (1000 * p.distance_km.at(-1)!);
    expect(to!.depth_m).toBeCloseTo(13.5 / slope, 0);
    const both = profileBetween(ground(flat, 1, edge), { row: 120, column: 160 }, { row: 120, column: 180 });
    const through = { distance_km: both.distance_km, ground_m: both.height_m, kind: both.kind!, woods: both.woods! };
    const ends = coverPath(through, KINDS, 6, 1.5, 8500);
    expect(ends.to!.depth_m).toBeCloseTo(600, 6);
    expect(ends.from!.depth_m).toBe(0);
  });

  it('stands in the way of a place behind it', () => {
    const height_m = hills(SIZE, SIZE, 3);
    const at = ground(height_m, 1, [140, -0.5, 150, -0.5, 150, 239.5, 140, 239.5]);
    const bare = ground(height_m, 1, [500, 500, 501, 500, 501, 501]);
    const [with_, without] = [coverage(at, centre, 2.8), coverage(bare, centre, 2.8)];
    let more = 0;
    let less = 0;
    for (let row = 90; row < 150; row += 3)
      for (let column = 156; column < 210; column += 3) {
        const k = row * SIZE + column;
        const d = with_.loss_dB[k]! - without.loss_dB[k]!;
        if (d > 0.5) more++;
        if (d < -0.5) less++;
        expect(with_.ends_dB![k]).toBe(0);
      }
    expect(more).toBeGreaterThan(150);
    expect(less).toBe(0);
  });
});
