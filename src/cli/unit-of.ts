/** A unit of the workshop in place of a kit's file: `--unit SERIAL`. */
import type { Command } from 'commander';
import type { UnitKit, UnitTold } from '../app/bench/unit-kit.ts';
import type { Ports } from '../app/ports.ts';
import { sayNotes } from './tail.ts';
import type { WorkshopOptions } from './workshop.ts';

export interface UnitOptions extends WorkshopOptions {
  readonly unit?: string;
}

export const withUnitOption = (command: Command, instead: string): Command =>
  command
    .option('--unit <serial>', `a unit of the workshop ${instead}, with the values measured on it`)
    .option('--workshop <file>', 'file or postgres:// address of the workshop, with --unit');

/** The kit of a unit, ports that read it as a file, and that file's name. */
export async function unitOf<P extends Pick<Ports, 'readText'>>(
  ports: P,
  serial: string,
  options: UnitOptions,
): Promise<{ readonly ports: P; readonly kit: string; readonly unit: UnitKit }> {
  const [{ unitKit, unitFile, portsOfUnit }, { withBench }] = await Promise.all([
    import('../app/bench/unit-kit.ts'),
    import('./bench.ts'),
  ]);
  const unit = await withBench(options, ({ state, workshop }) => unitKit(workshop, state, serial));
  return { ports: portsOfUnit(ports, unit), kit: unitFile(unit), unit };
}

/** Which values are the unit's own, and which its kit's. */
export function sayUnit({ serial, kit, kitNumber, values, fromKit, notes }: UnitTold): void {
  const used = values.filter((value) => value.set.length > 0);
  const unused = values.filter((value) => value.unused !== null);
  sayNotes(
    [
      used.length === 0
        ? 'nothing that is computed with was measured on it'
        : `measured on it: ${used.map(({ field, value }) => `${field} ${value}`).join(', ')}`,
      ...unused.map(({ field, value, unused: why }) => `measured, not used: ${field} ${value} (${why})`),
      `from kit ${kit}, number ${kitNumber}: ${fromKit.join('; ')}`,
      ...notes,
    ],
    `Unit ${serial}`,
  );
}
