import { userError } from '../core/units/index.ts';
import { WEATHER_ELSEWHERE } from './check-record.ts';
import { readKitFile } from './inputs.ts';
import type { JobInput } from './job-kinds.ts';
import type { JobPorts } from './job-ports.ts';
import type { Ports } from './ports.ts';
import { size } from './size.ts';
import { spells } from './spells.ts';
import { thresholds } from './thresholds.ts';
import { where } from './where.ts';
import { year } from './year.ts';

/** Runs a job. The records come as values, so that nothing is read from the disk of the machine that computes. */
export async function runJob(ports: JobPorts, input: JobInput): Promise<unknown> {
  const all: Ports = {
    ...ports,
    readText: async (name) => JSON.stringify(name === 'kit' ? input.kit : input.perch) ?? '',
    readWeather: async (path) => {
      const { code, message, place } = WEATHER_ELSEWHERE;
      throw userError(code, message, { file: path, ...place });
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
    case 'place': {
      const { placeAnswer } = await import('./bench/place-check.ts');
      const { kit } = await readKitFile(all, 'kit');
      return placeAnswer(kit, input.place!, { years, seed }, ports.progress);
    }
    default: {
      if (ports.openTerrain === undefined) throw new RangeError(`runJob: ${input.command} without a terrain`);
      const { runRadioJob } = await import('./radio-job.ts');
      const looks = input.radio?.detail === 'coarse' ? ports.openForLooks : undefined;
      return runRadioJob(ports, await (looks ?? ports.openTerrain)(), input);
    }
  }
}
