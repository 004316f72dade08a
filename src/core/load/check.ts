import type { Problem } from '../units/index.ts';
import type { AverageInput, LoadInput } from './types.ts';
import { SECONDS_PER_HOUR } from './types.ts';

function refuse(
  problems: Problem[],
  value: number | undefined,
  low: number,
  high: number,
  name: string,
  field: string,
): void {
  if (value === undefined || (value >= low && value <= high)) return;
  const range = high === Number.MAX_VALUE ? `${low} or more` : `between ${low} and ${high}`;
  problems.push({ code: 'load-range', message: `${name} is ${value}: it must be ${range}.`, place: { field } });
}

/** Everything wrong with a composed load. */
export function checkLoad(input: LoadInput, field: string): Problem[] {
  const problems: Problem[] = [];
  const any = Number.MAX_VALUE;
  const parts = input.parts ?? [];
  if (parts.length === 0 && input.transmit === undefined)
    problems.push({
      code: 'load-empty',
      message: 'the load has no part: give average_mA, or parts and transmit.',
      place: { field },
    });
  parts.forEach((part, i) => {
    const at = `${field}.parts[${i}]`;
    const draws = [part.current_mA, part.power_mW].filter((value) => value !== undefined).length;
    if (draws !== 1)
      problems.push({
        code: 'load-draw',
        message: `${part.name} has ${draws === 0 ? 'neither current_mA nor power_mW' : 'both current_mA and power_mW'}: give one of them.`,
        place: { field: at },
      });
    if (part.duty !== undefined && part.seconds_per_h !== undefined)
      problems.push({
        code: 'load-duty-twice',
        message: `${part.name} has both duty and seconds_per_h: give one of them.`,
        place: { field: at },
      });
    refuse(problems, part.current_mA, 0, any, 'current_mA', `${at}.current_mA`);
    refuse(problems, part.power_mW, 0, any, 'power_mW', `${at}.power_mW`);
    refuse(problems, part.duty, 0, 1, 'duty', `${at}.duty`);
    refuse(problems, part.seconds_per_h, 0, SECONDS_PER_HOUR, 'seconds_per_h', `${at}.seconds_per_h`);
  });
  const { transmit, regulator } = input;
  if (transmit !== undefined) {
    const at = `${field}.transmit`;
    refuse(problems, transmit.airtime_s_per_h, 0, SECONDS_PER_HOUR, 'airtime_s_per_h', `${at}.airtime_s_per_h`);
    refuse(problems, transmit.current_mA, 0, any, 'current_mA', `${at}.current_mA`);
    if (transmit.current_mA === undefined && transmit.power_dBm === undefined)
      problems.push({
        code: 'load-draw',
        message: 'transmit has neither current_mA nor power_dBm: give one of them.',
        place: { field: at },
      });
  }
  if (regulator !== undefined) {
    const at = `${field}.regulator`;
    refuse(problems, regulator.output_V, 0.5, 60, 'output_V', `${at}.output_V`);
    refuse(problems, regulator.quiescent_uA, 0, any, 'quiescent_uA', `${at}.quiescent_uA`);
    refuse(problems, regulator.efficiency, 0.05, 1, 'efficiency', `${at}.efficiency`);
  }
  refuse(problems, input.transmitPeak_mA, 0, any, 'transmitPeak_mA', `${field}.transmitPeak_mA`);
  refuse(problems, input.inrush_mA, 0, any, 'inrush_mA', `${field}.inrush_mA`);
  return problems;
}

/** Everything wrong with a load known by its average. */
export function checkAverage(input: AverageInput, field: string): Problem[] {
  const problems: Problem[] = [];
  for (const name of ['average_mA', 'transmitPeak_mA', 'inrush_mA'] as const)
    refuse(problems, input[name], 0, Number.MAX_VALUE, name, `${field}.${name}`);
  refuse(problems, input.voltage_V, 0.5, 100, 'voltage_V', `${field}.voltage_V`);
  return problems;
}
