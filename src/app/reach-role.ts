/** What a perch is good for among the other perches of a file, and the cautions that go with putting one up. */
import { cautionOf } from '../core/cells/index.ts';
import type { Caution } from '../core/energy/index.ts';
import { LIMITS_CAUTION } from '../core/path/index.ts';
import type { GridPlace } from '../core/reach/index.ts';
import { userError } from '../core/units/index.ts';
import { type ListedPlace, readPlaces } from '../formats/places.ts';
import type { PageRole } from '../report/index.ts';
import type { PanoramaOther } from '../report/panorama.ts';
import { type Ground, groundHeight_m } from './ground.ts';
import { linkTable } from './link-table.ts';
import type { LinkOver, LinkScale } from './margin.ts';
import type { Ports } from './ports.ts';
import { adviseRole } from './role.ts';
import { type LatLon, roughly_km } from './roughly.ts';

/** Nearer than this a candidate is the perch itself, km. */
const SAME_km = 0.02;

export interface NearCandidates {
  readonly near: readonly ListedPlace[];
  readonly skipped: readonly string[];
}

/** The other perches of a file within the radius. Throws UserError where there are none, before any ground is looked at. */
export async function nearCandidates(
  ports: Ports,
  file: string,
  at: LatLon,
  radius_km: number,
): Promise<NearCandidates> {
  const listed = readPlaces(await ports.readText(file), file).filter((p) => roughly_km(at, p) >= SAME_km);
  const near = listed.filter((p) => roughly_km(at, p) <= radius_km);
  if (near.length === 0)
    throw userError('reach.candidates', `${file} names no other perch within ${radius_km} km of this one`, {
      file,
      field: '--candidates',
    });
  const skipped = listed
    .filter((p) => !near.includes(p))
    .map((p) => `${p.name}: beyond the radius, so not counted for the role.`);
  return { near, skipped };
}

export interface ReachRole {
  readonly advice: PageRole;
  /** Where they stand in the panorama. */
  readonly others: readonly PanoramaOther[];
  readonly skipped: readonly string[];
}

/** The role of a perch among others, this kit at all of them. */
export function roleAmong(
  { near, skipped: far }: NearCandidates,
  ground: Ground,
  self: { readonly name: string; readonly place: GridPlace; readonly ground_m: number },
  scale: LinkScale,
): ReachRole {
  const { height_m } = scale.from;
  const skipped = [...far];
  const others = near.map((p) => {
    const { name, latitude_deg, longitude_deg } = p;
    const ground_m = groundHeight_m(ground, name, latitude_deg, longitude_deg);
    return { name, place: ground.placeOf(latitude_deg, longitude_deg), ground_m, height_m: p.height_m ?? height_m };
  });
  // A candidate may have the perch's own name.
  const links = linkTable(ground, scale.from, [{ ...self, name: `${self.name}\u0000`, height_m }], others, scale.bands);
  const own = others.map((_, j) => links.own(0, j));
  const { role, reason } = adviseRole(own, (i, j) => links.between(i, j));
  const known = others.flatMap((o, j): (LinkOver & { readonly name: string })[] => {
    const link = own[j];
    if (link) return [{ name: o.name, ...link }];
    skipped.push(`${o.name}: the terrain has gaps on the way, so not counted for the role.`);
    return [];
  });
  const strongest = [...known].sort((x, y) => y.margin_dB - x.margin_dB);
  return {
    advice: {
      role,
      reason,
      links: strongest.map(({ name, distance_km, margin_dB, odds, sight }) => ({
        name,
        distance_km,
        margin_dB,
        odds,
        sight,
      })),
    },
    others: known.map((l) => ({
      name: l.name,
      azimuth_deg: l.azimuth_deg,
      elevation_deg: l.elevation_deg,
      distance_km: l.distance_km,
      margin_dB: l.margin_dB,
      sight: l.sight === 'clear' || l.sight === 'grazing' ? l.sight : 'blocked',
    })),
    skipped,
  };
}

/** Those of the computing, each once, and those of the work: mast, lightning, power lines, law. */
export function withWorkCautions(computed: readonly Caution[], limits: boolean): Caution[] {
  const work = (['work-at-height', 'lightning-and-earthing', 'overhead-lines', 'radio-limits'] as const).map((code) => {
    const { text } = cautionOf(code);
    return { code, text };
  });
  const all = [...work, ...computed, ...(limits ? [{ code: 'limits-dated', text: LIMITS_CAUTION }] : [])];
  return all.filter((c, i) => all.findIndex((d) => d.code === c.code) === i);
}
