/** From a request for a radio job to its input: ids become places, what is not said stays open. */
import { oneCover } from '../app/cover-file.ts';
import type { JobPlace, RadioInput } from '../app/job-kinds.ts';
import { limitsOf } from '../core/path/index.ts';
import { userError } from '../core/units/index.ts';
import type { CandidateInput, JobRequest } from './api.ts';
import type { ServerParts } from './parts.ts';
import { NO_TERRAIN } from './routes/terrain.ts';

/** Reads a kit or perch by id or value. */
export type Resolve = (
  kind: 'kit' | 'perch',
  given: JobRequest['kit'],
) => Promise<{ readonly value: unknown; readonly name: string }>;

export async function radioInput(
  request: JobRequest,
  resolve: Resolve,
  terrain: ServerParts['terrain'],
): Promise<RadioInput> {
  if (terrain === undefined) throw userError('no-terrain', NO_TERRAIN);
  if (request.command === 'rank' && (request.area === undefined || (request.candidates ?? []).length === 0))
    throw userError('rank.incomplete', 'a ranking takes candidates and an area that is to be served', {
      field: request.area === undefined ? 'area' : 'candidates',
    });
  // An unknown region is told before anything is computed.
  if (request.region !== undefined) limitsOf(request.region);
  const { at, height_m, to, radius_km, targetHeight_m, detail, area, region, indoors } = request;
  const { clutter_m, cover, woods_m, measured } = request;
  const report = request.command === 'reach' && request.report === true;
  oneCover({ cover, woods_m, clutter_m });
  // The same perch may stand in several lists.
  const known = new Map<string, Promise<JobPlace>>();
  const placeOf = (given: CandidateInput | string): Promise<JobPlace> | JobPlace => {
    if (typeof given !== 'string') return given;
    const place =
      known.get(given) ?? resolve('perch', given).then(({ value, name }) => placeOfPerch(given, name, value));
    known.set(given, place);
    return place;
  };
  const listOf = async (given: readonly (CandidateInput | string)[] | undefined, whole = false) => {
    if (given === undefined) return undefined;
    const list: JobPlace[] = [];
    for (const one of given) {
      const { value, ...place } = await placeOf(one);
      list.push(whole && value !== undefined ? { ...place, value } : place);
    }
    return list;
  };
  const input = {
    at,
    height_m,
    to: to === undefined || to === 'hand-held' ? undefined : (await resolve('kit', to)).value,
    radius_km,
    targetHeight_m,
    detail: request.command === 'reach' && !report ? detail : undefined,
    report: report || undefined,
    places: await listOf(request.places),
    candidates: await listOf(request.candidates),
    perches: await listOf(request.perches, request.command === 'horizon'),
    area,
    region,
    indoors,
    ...(request.command === 'horizon' ? {} : { clutter_m, cover, woods_m, measured }),
    terrain: await terrain.identity(),
  };
  return Object.fromEntries(Object.entries(input).filter(([, value]) => value !== undefined)) as unknown as RadioInput;
}

function placeOfPerch(id: string, name: string, value: unknown): JobPlace {
  const { latitude_deg, longitude_deg, height_m } = value as Partial<JobPlace>;
  if (typeof latitude_deg !== 'number' || typeof longitude_deg !== 'number')
    throw userError('perch-without-place', `${id} tells no position, so it has no place on the ground`, { field: id });
  return { name, latitude_deg, longitude_deg, value, ...(height_m === undefined ? {} : { height_m }) };
}
