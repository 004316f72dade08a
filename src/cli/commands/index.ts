import type { Command } from 'commander';
import { registerAirtime } from './airtime.ts';
import { registerCell } from './cell.ts';
import { registerCompare } from './compare.ts';
import { registerElevation } from './elevation.ts';
import { registerLimits } from './limits.ts';
import { registerLoad } from './load.ts';
import { registerNew } from './new.ts';
import { registerPath } from './path.ts';
import { registerReach } from './reach.ts';
import { registerServe } from './serve.ts';
import { registerSize } from './size.ts';
import { registerSpells } from './spells.ts';
import { registerSun } from './sun.ts';
import { registerSweep } from './sweep.ts';
import { registerThresholds } from './thresholds.ts';
import { registerTilt } from './tilt.ts';
import { registerWeather } from './weather.ts';
import { registerWhere } from './where.ts';
import { registerWorkshop } from './workshop.ts';
import { registerYear } from './year.ts';

/** Registers every command; their work is loaded only when one runs. */
export function registerAll(program: Command): void {
  registerYear(program);
  registerSize(program);
  registerWhere(program);
  registerSun(program);
  registerTilt(program);
  registerWeather(program);
  registerLoad(program);
  registerCell(program);
  registerNew(program);
  registerCompare(program);
  registerSpells(program);
  registerThresholds(program);
  registerPath(program);
  registerAirtime(program);
  registerLimits(program);
  registerSweep(program);
  registerWorkshop(program);
  registerServe(program);
  registerElevation(program);
  registerReach(program);
}
