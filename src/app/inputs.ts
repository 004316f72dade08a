import type { Assumption } from '../core/energy/index.ts';
import { UserError } from '../core/units/index.ts';
import { parseSetting } from '../formats/setting.ts';
import type { DailyFile, WeatherFile } from '../formats/weather/types.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import { assumptionsIn, type Kit, type Perch, readKit, readPerch } from '../records/index.ts';
import { kitAssumptions } from './node-of.ts';
import type { Ports } from './ports.ts';
import { planSite, type SitePlan } from './site.ts';

/** Files and options that name a kit at a perch. */
export interface KitAtPerch {
  readonly kit: string;
  readonly perch: string;
  readonly weather?: string | undefined;
  readonly set?: readonly string[] | undefined;
}

/** A kit at a perch, read, checked and resolved. */
export interface Inputs {
  readonly kit: Kit;
  readonly perch: Perch;
  readonly plan: SitePlan;
  readonly file: WeatherFile | DailyFile | undefined;
  readonly assumptions: readonly Assumption[];
}

const texts = (list: readonly { field: string; value: unknown; why: string }[]): Assumption[] =>
  list.map(({ field, value, why }) => ({
    field,
    value: typeof value === 'string' ? value : JSON.stringify(value),
    why,
  }));

/** Reads a kit file with its settings. */
export async function readKitFile(
  ports: Ports,
  path: string,
  set: readonly string[] = [],
): Promise<{ kit: Kit; assumptions: Assumption[] }> {
  const settings = set.map(parseSetting);
  const read = readKit(parseYamlRecord(await ports.readText(path), path), { set: settings });
  const assumptions = [...texts(assumptionsIn(read.value.mode, read.assumptions)), ...kitAssumptions(read.value)];
  return { kit: read.value, assumptions };
}

/** Reads a perch file with its settings and, where one is named, its weather file. */
export async function readPerchFile(
  ports: Ports,
  path: string,
  set: readonly string[] = [],
  weather?: string,
): Promise<{ perch: Perch; plan: SitePlan; file: WeatherFile | DailyFile | undefined; assumptions: Assumption[] }> {
  const settings = set.map(parseSetting);
  const read = readPerch(parseYamlRecord(await ports.readText(path), path), {
    set: settings,
    weather: weather !== undefined,
  });
  const perch = read.value;
  const named = typeof perch.climate === 'object' ? perch.climate.weather : undefined;
  const source = weather ?? (named === undefined ? undefined : beside(path, named));
  const file = source === undefined ? undefined : await ports.readWeather(source);
  const plan = planSite(perch, file);
  const mine = file
    ? read.assumptions.filter((a) => a.field !== 'perch.climate' && a.field !== 'perch.utcOffset_h')
    : read.assumptions;
  return { perch, plan, file, assumptions: [...texts(mine), ...plan.assumptions] };
}

/** A path named in a file is meant from that file's folder. */
export function beside(file: string, named: string): string {
  if (/^([/\\]|[A-Za-z]:)/.test(named)) return named;
  const slash = Math.max(file.lastIndexOf('/'), file.lastIndexOf('\\'));
  return slash < 0 ? named : file.slice(0, slash + 1) + named;
}

/** Reads kit and perch; the problems of both are told together. */
export async function readInputs(ports: Ports, request: KitAtPerch): Promise<Inputs> {
  const [kit, perch] = await Promise.allSettled([
    readKitFile(ports, request.kit, request.set),
    readPerchFile(ports, request.perch, request.set, request.weather),
  ]);
  const wrong = [kit, perch].flatMap((r) => (r.status === 'rejected' ? [r.reason as unknown] : []));
  const unexpected = wrong.find((reason) => !(reason instanceof UserError));
  if (unexpected !== undefined) throw unexpected;
  if (kit.status === 'rejected' || perch.status === 'rejected') {
    const problems = (wrong as UserError[]).flatMap((reason) => reason.problems);
    const seen = new Set<string>();
    throw new UserError(problems.filter((p) => !seen.has(JSON.stringify(p)) && seen.add(JSON.stringify(p))));
  }
  const plain = kit.value.kit.mode === 'plain';
  return {
    kit: kit.value.kit,
    perch: perch.value.perch,
    plan: perch.value.plan,
    file: perch.value.file,
    assumptions: [
      ...kit.value.assumptions,
      // In plain mode skyline, snow, dirt and boxes play no part.
      ...perch.value.assumptions.filter((a) => !plain || !/horizon|snow|soiling|enclosure/.test(a.field)),
    ],
  };
}
