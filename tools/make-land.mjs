// Writes src/report/land.ts from Natural Earth's 1:110m land (public domain). Run by hand, only to remake the file:
//   mkdir /tmp/land && cd /tmp/land && npm install world-atlas@2.0.2 topojson-client@3.1.0
//   node tools/make-land.mjs /tmp/land
// Points are put on a grid of a quarter of a degree (half a pixel on the widest map drawn), points that a straight line
// passes within an eighth of a degree are dropped (Douglas & Peucker 1973), and steps are written as relative path
// commands. Land south of 60° S is left out: no reference climate lies there.
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';

const from = resolve(process.argv[2] ?? '.');
const require = createRequire(join(from, 'package.json'));
const { feature } = require('topojson-client');
const topology = JSON.parse(readFileSync(join(from, 'node_modules/world-atlas/land-110m.json'), 'utf8'));
const land = feature(topology, topology.objects.land);
const PER_DEG = 4;
const TOLERANCE = 0.5; // in grid steps

function simplify(points) {
  const keep = new Uint8Array(points.length);
  keep[0] = keep[points.length - 1] = 1;
  const stack = [[0, points.length - 1]];
  while (stack.length > 0) {
    const [a, b] = stack.pop();
    const [ax, ay] = points[a];
    const dx = points[b][0] - ax;
    const dy = points[b][1] - ay;
    const length = Math.hypot(dx, dy);
    let worst = TOLERANCE;
    let at = -1;
    for (let i = a + 1; i < b; i++) {
      const px = points[i][0] - ax;
      const py = points[i][1] - ay;
      const off = length === 0 ? Math.hypot(px, py) : Math.abs(px * dy - py * dx) / length;
      if (off > worst) [worst, at] = [off, i];
    }
    if (at >= 0) {
      keep[at] = 1;
      stack.push([a, at], [at, b]);
    }
  }
  return points.filter((_, i) => keep[i] === 1);
}

const rings = land.features.flatMap((f) =>
  f.geometry.type === 'MultiPolygon' ? f.geometry.coordinates.flat() : f.geometry.coordinates,
);
// The source joins rings across the date line: they are unrolled, and drawn once more a turn away where they leave the map.
const unrolled = rings.flatMap((ring) => {
  let turn = 0;
  const out = ring.map(([lon, lat], i) => {
    if (i > 0 && Math.abs(lon - ring[i - 1][0]) > 180) turn += lon < ring[i - 1][0] ? 360 : -360;
    return [lon + turn, lat];
  });
  if (turn !== 0) return []; // goes round the pole: Antarctica
  const beyond = out.some((p) => p[0] > 180) ? -360 : out.some((p) => p[0] < -180) ? 360 : 0;
  return beyond === 0 ? [out] : [out, out.map(([lon, lat]) => [lon + beyond, lat])];
});
const paths = [];
for (const ring of unrolled) {
  if (Math.max(...ring.map((p) => p[1])) < -60) continue;
  const grid = ring.map(([lon, lat]) => [Math.round(lon * PER_DEG), Math.round(-lat * PER_DEG)]);
  const points = simplify(grid).filter((p, i, all) => i === 0 || p[0] !== all[i - 1][0] || p[1] !== all[i - 1][1]);
  if (points.length < 4) continue;
  let out = `M${points[0][0]} ${points[0][1]}l`;
  for (let i = 1; i < points.length - 1; i++) {
    const dx = points[i][0] - points[i - 1][0];
    const dy = points[i][1] - points[i - 1][1];
    out += `${i > 1 && dx >= 0 ? ' ' : ''}${dx}${dy >= 0 ? ' ' : ''}${dy}`;
  }
  paths.push(`${out}z`);
}
const lines = paths.join('').match(/.{1,100}/g) ?? [];
const text = `// Written by tools/make-land.mjs; do not edit by hand.
/** Grid steps to a degree in \`LAND_PATH\`. */
export const LAND_STEPS_PER_deg = ${PER_DEG};

/**
 * Outline of the land north of 60° S as SVG path data: x = longitude, y = minus latitude, in quarter degrees.
 * Source: Natural Earth 1:110m land, public domain (naturalearthdata.com), by way of world-atlas 2.0.2 (ISC).
 */
export const LAND_PATH =
${lines.map((l, i) => `  '${l}'${i === lines.length - 1 ? ';' : ' +'}`).join('\n')}
`;
writeFileSync(new URL('../src/report/land.ts', import.meta.url), text);
console.log(`src/report/land.ts: ${paths.length} rings, ${text.length} bytes`);
