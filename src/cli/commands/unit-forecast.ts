import type { Command } from 'commander';
import type { YearResult } from '../../app/year.ts';
import { type BenchOptions, benchCommand, withBench } from '../bench.ts';
import { whole } from '../options.ts';
import { sayJson } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';
import { withPorts } from '../wiring.ts';

interface ForecastOptions extends BenchOptions {
  readonly years?: number;
}

/** `sunperch unit forecast`: whether this very unit stays up where it stands. */
export function registerForecast(group: Command): void {
  benchCommand(
    group,
    'forecast <serial>',
    'Says whether a unit stays up, by its own measured values, at the perch where it was put up or the place of its order.',
  )
    .option('--years <n>', 'years to simulate (default 200)', whole(1))
    .action(async (serial: string, options: ForecastOptions) => {
      const [{ unitForecastAsked }, { runJob }] = await Promise.all([
        import('../../app/bench/unit-forecast.ts'),
        import('../../app/job.ts'),
      ]);
      const { told, place, input } = await withBench(options, ({ workshop, state }) =>
        unitForecastAsked(workshop, state, serial),
      );
      const { years } = options;
      const { outcome: year } = await withPorts(
        (ports) => runJob(ports, { ...input, ...(years === undefined ? {} : { years }) }) as Promise<YearResult>,
      );
      const outcome = { ...year, command: 'unit forecast' as const, unit: told, at: place };
      if (options.json) return sayJson(outcome);
      sayFolded(outcome.verdict);
      const measured = outcome.unit.values.filter((v) => v.set.length > 0).length;
      sayNotes(
        [
          measured === 0
            ? "nothing that the forecast takes was measured on it: these are the data sheet's values"
            : `${measured} ${measured === 1 ? 'value' : 'values'} measured on this unit in place of the data sheet's`,
          ...outcome.unit.notes,
          ...outcome.at.notes,
        ],
        'Notes',
      );
    });
}
