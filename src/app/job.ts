import { userError } from '../core/units/index.ts';
import type { JobInput } from './job-kinds.ts';
import type { Ports } from './ports.ts';
import { size } from './size.ts';
import { spells } from './spells.ts';
import { thresholds } from './thresholds.ts';
import { where } from './where.ts';
import { year } from './year.ts';

/** Runs a job. The records come as values, so that nothing is read from the disk of the machine that computes. */
export async function runJob(ports: Pick<Ports, 'progress' | 'runTasks'>, input: JobInput): Promise<unknown> {
  const all: Ports = {
    ...ports,
    readText: async (name) => JSON.stringify(name === 'kit' ? input.kit : input.perch) ?? '',
    readWeather: async (path) => {
      throw userError(
        'weather-file-elsewhere',
        'the perch names a weather file, which the workshop does not hold: use the command line with --weather, or give twelve monthly means',
        { file: path, field: 'perch.climate.weather' },
      );
    },
  };
  const { years, seed, target } = input;
  const both = { kit: 'kit', perch: 'perch', years, seed, target };
  switch (input.command) {
    case 'year':
      return year(all, both);
    case 'size':
      return size(all, both);
    case 'where':
      return where(all, both);
    case 'thresholds':
      return thresholds(all, both);
    case 'spells':
      return spells(all, both);
  }
}
