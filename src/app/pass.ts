import {
  type Assumption,
  type Caution,
  type EnergyBudget,
  freshState,
  newTally,
  runBalance,
  socAt,
  TALLY,
} from '../core/energy/index.ts';
import { buildNode } from '../core/energy/node.ts';
import { budgetOf } from './forecast.ts';
import { type Inputs, type KitAtPerch, readInputs } from './inputs.ts';
import { nodeOf } from './node-of.ts';
import type { Ports } from './ports.ts';
import { makeWeather } from './site.ts';
import { makeSupply } from './supply.ts';
import { figure, spanText } from './words.ts';

/** Passes through a weather file unless told otherwise: the first two settle the state that the third begins with. */
export const DEFAULT_REPEAT = 3;

/** Result of a run through one weather file, of its last pass. */
export interface PassOutcome {
  readonly command: 'year';
  readonly kit: string;
  readonly perch: string;
  readonly verdict: string;
  readonly repeat: number;
  readonly hours: number;
  readonly weather: string;
  readonly dark_h: number;
  readonly darkSpells: number;
  readonly longestDark_h: number;
  readonly unserved_Wh: number;
  readonly minStateOfCharge: number;
  readonly endStateOfCharge: number;
  readonly harvest_Wh: number;
  readonly coldBlocked_h: number;
  readonly plating_h: number;
  readonly lockUps: number;
  readonly falseRestarts: number;
  readonly balance: EnergyBudget;
  readonly poa_kWh_m2_day: readonly number[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
}

export interface PassRequest extends KitAtPerch {
  readonly repeat?: number | undefined;
  readonly seed?: number | undefined;
}

/** `sunperch year --weather FILE --repeat N`: the file's hours in order, N times over, state carried. */
export async function passes(ports: Ports, request: PassRequest): Promise<PassOutcome> {
  return passesOf(await readInputs(ports, request), request.repeat ?? DEFAULT_REPEAT, request.seed ?? 1);
}

/** The same from inputs that are read already. */
export function passesOf(inputs: Inputs, repeat: number, seed: number): PassOutcome {
  const { kit, perch, plan } = inputs;
  const site = makeWeather(plan, perch, seed);
  const supply = makeSupply(kit, perch, plan, site);
  const model = buildNode(nodeOf(kit));
  const state = freshState(model);
  let tally = newTally();
  for (let pass = 0; pass < repeat; pass++) {
    tally = newTally();
    runBalance(model, supply.hours, 0, supply.hours.length, state, tally);
  }
  const dark_h = tally[TALLY.dark_h]!;
  const yearsText = site.years === 1 ? 'that year of weather' : `those ${site.years} years of weather`;
  return {
    command: 'year',
    kit: kit.name,
    perch: plan.name,
    verdict:
      dark_h === 0
        ? `${kit.name} at ${plan.name} stays up through ${yearsText}: no dark hour; lowest charge ${figure(100 * tally[TALLY.minStateOfCharge]!, 2)} %.`
        : `${kit.name} at ${plan.name} goes dark in ${yearsText}: ${dark_h.toLocaleString('en')} dark hours in ${tally[TALLY.darkSpells]} spells, the longest ${spanText(tally[TALLY.longestDark_h]!)}.`,
    repeat,
    hours: supply.hours.length,
    weather: plan.weather,
    dark_h,
    darkSpells: tally[TALLY.darkSpells]!,
    longestDark_h: tally[TALLY.longestDark_h]!,
    unserved_Wh: tally[TALLY.unserved_Wh]!,
    minStateOfCharge: tally[TALLY.minStateOfCharge]!,
    endStateOfCharge: socAt(model, state.energy_Wh),
    harvest_Wh: tally[TALLY.harvest_Wh]!,
    coldBlocked_h: tally[TALLY.coldBlocked_h]!,
    plating_h: tally[TALLY.plating_h]!,
    lockUps: tally[TALLY.lockUps]!,
    falseRestarts: tally[TALLY.falseRestarts]!,
    balance: budgetOf(tally),
    poa_kWh_m2_day: supply.poa_kWh_m2_day,
    notes: plan.notes,
    assumptions: inputs.assumptions,
    cautions: [
      ...plan.cautions,
      ...(site.years === 1
        ? [
            {
              code: 'one-year',
              text: 'One year of weather says nothing about rare winters: run synthetic years (without --weather) for odds.',
            },
          ]
        : []),
    ],
  };
}
