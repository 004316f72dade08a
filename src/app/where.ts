import type { Assumption } from '../core/energy/index.ts';
import { userError } from '../core/units/index.ts';
import { REFERENCE_CLIMATES } from '../core/weather/index.ts';
import { nearestWord, type Perch, perchSchema } from '../records/index.ts';
import { readKitFile } from './inputs.ts';
import type { Ports } from './ports.ts';
import { yearsFor } from './size.ts';
import { DEFAULT_TARGET, readTarget, yearsNeeded } from './target.ts';
import type { WhereRow, WhereTask, WhereVerdict } from './where-site.ts';

export interface WhereRequest {
  readonly kit: string;
  readonly target?: string | undefined;
  readonly years?: number | undefined;
  readonly seed?: number | undefined;
  readonly set?: readonly string[] | undefined;
  /** Names of places or countries, lists separated by commas; undefined: all. */
  readonly only?: readonly string[] | undefined;
}

/** Result of `sunperch where`. */
export interface WhereOutcome {
  readonly command: 'where';
  readonly kit: string;
  readonly verdict: string;
  readonly target: { readonly share: number; readonly text: string };
  readonly years: number;
  readonly seed: number;
  readonly counts: Readonly<Record<WhereVerdict, number>>;
  readonly rows: readonly WhereRow[];
  readonly assumptions: readonly Assumption[];
}

const ORDER: readonly WhereVerdict[] = ['cannot', 'bigger panel', 'one more cell', 'holds'];

/** Places of the table whose name or country is asked for, by their numbers. */
function chosen(only: readonly string[] | undefined): number[] {
  const all = REFERENCE_CLIMATES.map((_, climate) => climate);
  if (only === undefined) return all;
  const wanted = only.flatMap((list) => list.split(',')).map((name) => name.trim());
  const is = (name: string, asked: string) => name.toLowerCase() === asked.toLowerCase();
  for (const asked of wanted) {
    if (REFERENCE_CLIMATES.some(({ name, country }) => is(name, asked) || is(country, asked))) continue;
    const near = nearestWord(
      asked,
      REFERENCE_CLIMATES.flatMap(({ name, country }) => [name, country]),
    );
    throw userError(
      'unknown-place',
      `no built-in climate has the name or country '${asked}'${near === undefined ? '' : `; did you mean ${near}?`} (countries by three letters, as in the table of \`where\`)`,
      { field: '--only' },
    );
  }
  return all.filter((i) =>
    wanted.some((w) => is(REFERENCE_CLIMATES[i]!.name, w) || is(REFERENCE_CLIMATES[i]!.country, w)),
  );
}

/** `sunperch where`: the kit in every built-in climate, worst first. */
export async function where(ports: Ports, request: WhereRequest): Promise<WhereOutcome> {
  const target = readTarget(request.target ?? DEFAULT_TARGET);
  // A hundred places at once: the least years that can show the target, a tenth more.
  const years = yearsFor(target, request.years ?? Math.ceil(1.1 * yearsNeeded(target.share)));
  const seed = request.seed ?? 1;
  const { kit, assumptions } = await readKitFile(ports, request.kit, request.set);
  const perch: Perch = perchSchema.parse({ latitude_deg: 0, longitude_deg: 0, elevation_m: 0 });
  const inputs: WhereTask[] = chosen(request.only).map((climate) => ({ kit, perch, climate, years, seed, target }));
  const rows = (await ports.runTasks('where-site', inputs, 'places')) as WhereRow[];
  const sorted = [...rows].sort(
    (a, b) =>
      ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict) ||
      b.dark_h_per_year - a.dark_h_per_year ||
      a.name.localeCompare(b.name),
  );
  const counts = Object.fromEntries(
    ORDER.map((verdict) => [verdict, rows.filter((row) => row.verdict === verdict).length]),
  ) as Record<WhereVerdict, number>;
  return {
    command: 'where',
    kit: kit.name,
    verdict: `${kit.name} holds at ${counts.holds} of ${rows.length} places (${target.text}): ${counts['one more cell']} need one more cell, ${counts['bigger panel']} a bigger panel, ${counts.cannot} are out of reach of either.`,
    target,
    years,
    seed,
    counts,
    rows: sorted,
    assumptions: [
      { field: 'years', value: String(years), why: `simulated at each place; seed ${seed}` },
      {
        field: 'perch',
        value: 'open ground',
        why: 'no skyline, shade or snow; tilt latitude + 15 degrees towards the equator; ground albedo 0.2; 2 % dirt: a real perch is darker',
      },
      ...assumptions,
    ],
  };
}
