import type { Assumption, Caution } from '../core/energy/index.ts';
import type { Verdict } from '../core/path/index.ts';
import { cellSize_km } from '../core/reach/index.ts';
import { userError } from '../core/units/index.ts';
import { boxAround } from '../formats/geodesic.ts';
import type { Terrain } from '../formats/terrain.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import { readNet } from '../records/index.ts';
import type { PanoramaInput, Sight } from '../report/panorama.ts';
import { COVER_CAUTION, type CoverOutcome, coverNotes, coverOutcome, coverRaster, readCoverFile } from './cover.ts';
import { elevationCaution, groundHeight_m, groundOf, RIM_m } from './ground.ts';
import { beside, readPerchFile } from './inputs.ts';
import { linkOver, linkScale } from './margin.ts';
import { type Ends, parsePosition, readEnds } from './path-ends.ts';
import { USUAL_AIR } from './path-loss.ts';
import type { Ports } from './ports.ts';
import { roughly_km } from './roughly.ts';
import { type SunMonth, skylineAt_deg, skylineOf, skylinePairs, sunMonths } from './skyline.ts';
import { darkestMonth, spotOf } from './spot.ts';
import { figure, MONTHS } from './words.ts';

export interface HorizonRequest {
  /** Perch file, or LAT,LON[,HEIGHT]. */
  readonly perch: string;
  /** Other perches, the same way. */
  readonly others?: readonly string[] | undefined;
  /** A net: its perches stand as files beside it, KEY.yaml. */
  readonly net?: string | undefined;
  readonly kit?: string | undefined;
  readonly set?: readonly string[] | undefined;
  readonly height_m?: number | undefined;
  /** How far out the ground is looked at. */
  readonly radius_km?: number | undefined;
  /** GeoJSON file of ground cover, for the links to the others; the skyline stays that of the bare ground. */
  readonly cover?: string | undefined;
}

export interface SeenPerch {
  readonly name: string;
  readonly azimuth_deg: number;
  readonly elevation_deg: number;
  readonly distance_km: number;
  readonly sight: Sight;
  /** The same in the words of `path`. */
  readonly ground: Verdict;
  readonly loss_dB: number;
  readonly margin_dB: number;
  readonly odds: number;
  /** Loss by what both ends stand in. */
  readonly endsLoss_dB: number;
}

/** Result of `sunperch horizon`. */
export interface HorizonOutcome {
  readonly command: 'horizon';
  readonly verdict: string;
  readonly perch: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly ground_m: number;
  readonly height_m: number;
  readonly radius_km: number;
  /** For the perch file: every five degrees. */
  readonly horizon: readonly { readonly azimuth_deg: number; readonly elevation_deg: number }[];
  readonly highest: { readonly azimuth_deg: number; readonly elevation_deg: number; readonly distance_km: number };
  /** The 15th of each month. */
  readonly months: readonly SunMonth[];
  readonly darkestMonth: number;
  readonly others: readonly SeenPerch[];
  readonly cover: CoverOutcome | null;
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

/** The outcome with what its picture takes. */
export interface HorizonView {
  readonly outcome: HorizonOutcome;
  readonly panorama: PanoramaInput;
}

const USUAL_RADIUS_km = 20;
const MOST_km = 60;

/** `sunperch horizon`: the skyline of a perch, the sun that it takes, and the other perches behind or before it. */
export async function horizon(ports: Ports, request: HorizonRequest, terrain: Terrain): Promise<HorizonView> {
  const { perch, kit, set } = request;
  const others = [...(request.others ?? []), ...(request.net === undefined ? [] : await netPerches(ports, request))];
  const assumptions: Assumption[] = [];
  const pairs: Ends[] = [];
  for (const other of others)
    pairs.push(
      await readEnds(
        ports,
        { a: perch, b: other, kitA: kit, kitB: kit, fromHeight_m: request.height_m, set },
        pairs.length === 0 ? assumptions : [],
      ),
    );
  const self =
    pairs[0] ?? (await readEnds(ports, { a: perch, kitA: kit, fromHeight_m: request.height_m, set }, assumptions));
  const position = self.positionA;
  if (position === undefined) throw userError('reach.place', 'the perch has no position', { field: perch });
  const { latitude_deg, longitude_deg } = position;
  const name = self.a.name.replace(/ \(A\)$/, '');

  const far_km = Math.max(0, ...pairs.map((p) => roughly_km(position, p.positionB!)));
  if (far_km > MOST_km)
    throw userError(
      'horizon.far',
      `another perch stands ${figure(far_km)} km away: at most ${MOST_km} km are looked at`,
    );
  const asked_km = request.radius_km ?? USUAL_RADIUS_km;
  if (!(asked_km >= 1 && asked_km <= MOST_km))
    throw userError('horizon.radius', `the radius is ${asked_km} km: it lies between 1 and ${MOST_km} km`, {
      field: '--radius',
    });
  const radius_km = Math.max(asked_km, Math.min(MOST_km, far_km + 0.5));
  const patch = await terrain.patch({ area: boxAround(position, 1000 * radius_km + RIM_m), at: position });
  const coverFile = await readCoverFile(ports, request.cover);
  const raster = coverFile && coverRaster(coverFile, patch);
  const ground = groundOf(patch, position, undefined, raster);
  const cover = coverFile && raster ? coverOutcome(coverFile, raster.kind) : null;
  const ground_m = groundHeight_m(ground, name, latitude_deg, longitude_deg);
  const place = ground.placeOf(latitude_deg, longitude_deg);
  const seen = skylineOf(ground, place, self.a.height_m, radius_km);
  const months = sunMonths(latitude_deg, longitude_deg, seen.elevation_deg);
  const file =
    parsePosition(perch) === undefined
      ? await readPerchFile(
          ports,
          perch,
          (set ?? []).filter((s) => s.startsWith('perch.')),
        )
      : undefined;
  const plan = file?.plan ?? spotOf(name, latitude_deg, longitude_deg, ground_m).plan;
  const dark = darkestMonth(plan);

  const skipped: string[] = [];
  const there: SeenPerch[] = [];
  for (const { a, b, positionB } of pairs) {
    const scale = linkScale(a, b, 0, USUAL_AIR.effectiveRadius_km);
    const link = linkOver(ground, place, ground.placeOf(positionB!.latitude_deg, positionB!.longitude_deg), scale);
    const other = b.name.replace(/ \(B\)$/, '');
    if (link === null) {
      skipped.push(`${other}: the terrain has gaps on the way, so it is left out.`);
      continue;
    }
    const { dominant: _, diffraction_dB: __, snr_dB: ___, sight, ...rest } = link;
    there.push({ name: other, ...rest, sight: sightOf(sight), ground: sight });
  }
  const at = seen.elevation_deg.reduce((best, v, i, all) => (v > (all[best] ?? -90) ? i : best), 0);
  const outcome: HorizonOutcome = {
    command: 'horizon',
    verdict: verdict(name, months, dark, there),
    perch: name,
    latitude_deg,
    longitude_deg,
    ground_m,
    height_m: self.a.height_m,
    radius_km,
    horizon: skylinePairs(seen.elevation_deg),
    highest: {
      azimuth_deg: seen.azimuth_deg[at]!,
      elevation_deg: seen.elevation_deg[at]!,
      distance_km: seen.ridge_km[at]!,
    },
    months,
    darkestMonth: dark,
    others: there,
    cover,
    notes: [...patch.notes, ...skipped, ...(coverFile && cover ? coverNotes(coverFile, cover) : [])],
    assumptions: [
      ...assumptions.filter((a) => others.length > 0 || a.field === 'a: height_m'),
      ...(coverFile === undefined
        ? []
        : [
            ...coverFile.assumptions,
            {
              field: '--cover: skyline',
              value: 'bare ground',
              why: 'cover counts for the links; trees and houses before the sun stand under shade in the perch file',
            },
          ]),
      {
        field: 'refraction',
        value: 'light 7/6 of the Earth’s radius, radio 8,500 km',
        why: 'the usual bend of light and of waves near the ground',
      },
    ],
    cautions: [
      ...elevationCaution(name, file?.perch.elevation_m, ground_m),
      ...(cover === null ? [] : [COVER_CAUTION]),
      ...cautionsOf(seen.unknownShare, cellSize_km(ground.ground.frame, place).height_km),
    ],
  };
  return {
    outcome,
    panorama: {
      name,
      latitude_deg,
      longitude_deg,
      skyline_deg: seen.elevation_deg.map((_, i, all) => skylineAt_deg(all, (360 * i) / all.length)),
      layers: seen.layers.filter((l) => l.elevation_deg.some((e) => !Number.isNaN(e))),
      darkestMonth: dark,
      months,
      others: there,
    },
  };
}

const sightOf = (verdict: Verdict): Sight => (verdict === 'clear' || verdict === 'grazing' ? verdict : 'blocked');

async function netPerches(ports: Ports, request: HorizonRequest): Promise<string[]> {
  const file = request.net!;
  const net = readNet(parseYamlRecord(await ports.readText(file), file)).value;
  const own = /([^/\\]+)\.(ya?ml|json)$/.exec(request.perch)?.[1];
  return net.members.filter((m) => m.perch !== own).map((m) => beside(file, `${m.perch}.yaml`));
}

function verdict(name: string, months: readonly SunMonth[], dark: number, others: readonly SeenPerch[]): string {
  const month = months[dark - 1]!;
  const sun =
    month.open_h === 0
      ? `in ${MONTHS[dark - 1]} the sun does not rise`
      : month.lost_h < 0.1
        ? `in ${MONTHS[dark - 1]} the skyline takes no sun`
        : `in the middle of ${MONTHS[dark - 1]} the skyline leaves ${figure(month.visible_h, 2)} of ${figure(month.open_h, 2)} h of sun`;
  const n = (sight: Sight) => others.filter((o) => o.sight === sight).length;
  const radio =
    others.length === 0
      ? ''
      : `; of ${others.length} other ${others.length === 1 ? 'perch' : 'perches'} ${n('clear')} in clear sight, ${n('grazing')} grazing, ${n('blocked')} blocked`;
  return `${name}: ${sun}${radio}.`;
}

function cautionsOf(unknownShare: number, cell_km: number): Caution[] {
  const list: Caution[] = [];
  if (unknownShare > 0.002)
    list.push({
      code: 'terrain-gaps',
      text: `${figure(100 * unknownShare, 2)} % of the ground looked at has no height in the terrain: ridges there are missing from the skyline.`,
    });
  list.push({
    code: 'near-shade',
    text: `Terrain in cells of ${figure(1000 * cell_km, 2)} m knows no trees, houses or rocks near the perch: look on the spot, in winter, before the panel goes up.`,
  });
  return list;
}
