import { readFileSync } from 'node:fs';
import { formatProblem, UserError } from '../../src/core/units/index.ts';
import { parseSetting } from '../../src/formats/setting.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { readKit, readPerch } from '../../src/records/index.ts';

export const kitOf = (text: string, set: string[] = []) =>
  readKit(parseYamlRecord(text, 'kit.yaml'), { set: set.map(parseSetting) });

export const perchOf = (text: string, set: string[] = [], weather = false) =>
  readPerch(parseYamlRecord(text, 'perch.yaml'), { set: set.map(parseSetting), weather });

/** The problems of a reading as they are printed; none when it succeeds. */
export function toldBy(read: () => unknown): string[] {
  try {
    read();
  } catch (problem) {
    if (!(problem instanceof UserError)) throw problem;
    return problem.problems.map(formatProblem);
  }
  return [];
}

export const example = (name: string) => readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8');

/** A whole kit in a few lines, with `{…}` groups that a test may replace. */
export function kitText(changes: Record<string, string> = {}): string {
  const groups: Record<string, string> = {
    name: 'Test kit',
    panel: '{ power_W: 3.5, vmp_V: 6 }',
    charger: '{ type: tracking, ceiling_V: 4.1 }',
    cutoff: '{ cutoff_V: 3.2, reconnect_V: 3.6 }',
    cells: '{ count: 2, capacity_mAh: 3350 }',
    load: '{ average_mA: 9 }',
    ...changes,
  };
  return Object.entries(groups)
    .filter(([, value]) => value !== '')
    .map(([key, value]) => `${key}: ${value}\n`)
    .join('');
}

export function perchText(changes: Record<string, string> = {}): string {
  const groups: Record<string, string> = {
    latitude_deg: '46.4',
    longitude_deg: '10.2',
    elevation_m: '1500',
    ...changes,
  };
  return Object.entries(groups)
    .filter(([, value]) => value !== '')
    .map(([key, value]) => `${key}: ${value}\n`)
    .join('');
}
