import { type Command, Option } from 'commander';
import type { Deed } from '../../app/bench/act.ts';
import type { BenchState } from '../../app/bench/state.ts';
import { UserError } from '../../core/units/index.ts';
import { RETURN_CAUSES, type ReturnCause } from '../../records/bench/return-causes.ts';
import { type BenchOptions, benchCommand, deedCommand, type OpenBench, withBench } from '../bench.ts';
import { gather, number, whole, withExample } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { sayFolded, sayNotes } from '../tail.ts';
import { registerForecast } from './unit-forecast.ts';
import { registerMeasurements } from './unit-measurements.ts';
import { registerPassport } from './unit-passport.ts';
import { registerSerial } from './unit-serial.ts';

const printing = () => import('./bench-print.ts');
const units = () => import('../../app/bench/units.ts');
const leaving = () => import('../../app/bench/leaving.ts');

/** `sunperch unit …`: what is done with one unit, and its whole history. */
export function registerUnit(program: Command): void {
  const group = program
    .command('unit')
    .summary('one unit: its steps, gates, parts, shipping and history')
    .description(
      'Works on one unit of a batch, named by its serial. What happened is kept for good: a correction is a new\n' +
        'record that names the old one, and a unit with an open gate is not shipped.',
    );
  withExample(
    group,
    'sunperch unit show A07-012H',
    'sunperch unit tick A07-012H cells --by "M. Berg"',
    'sunperch unit measure A07-012H sleep 22.5 --instrument "meter 2"',
    'sunperch unit measure A07-012H match --file sweep.s1p',
    'sunperch unit rework A07-012H --reason "flux under the radio"',
    'sunperch unit ship A07-012H --order hut-kaldra',
  );
  benchCommand(group, 'show <serial>', 'Prints where a unit stands, and everything that was done with it.').action(
    async (serial: string, options: BenchOptions) => {
      const { unitLook } = await import('../../app/bench/unit-look.ts');
      const outcome = await withBench(options, async ({ state }) => unitLook(state, serial));
      if (options.json) sayJson(outcome);
      else (await printing()).sayUnit(outcome);
    },
  );
  registerSteps(group);
  registerGates(group);
  registerMeasurements(group);
  registerParts(group);
  registerLeaving(group);
  registerPassport(group);
  registerSerial(group);
}

/** Does something with a unit, then says where it stands. */
async function doAndTell(
  serial: string,
  options: BenchOptions,
  decide: (state: BenchState) => readonly Deed[],
  before?: (bench: OpenBench) => Promise<unknown>,
): Promise<void> {
  const { unitLook } = await import('../../app/bench/unit-look.ts');
  const outcome = await withBench(options, async (bench) => {
    await before?.(bench);
    const entries = await bench.act(decide);
    const taken = entries.flatMap(({ content }) =>
      content.kind === 'part-fitted' ? [{ part: content.part, lot: content.lot, count: content.count }] : [],
    );
    const look = unitLook(bench.state, serial);
    const judged = entries.flatMap(({ content }) =>
      content.kind === 'gate-measured' ? [{ gate: content.gate, value: content.value, verdict: content.verdict }] : [],
    );
    return { written: entries.length, taken, judged, ...look };
  });
  if (options.json) sayJson(outcome);
  else {
    if (outcome.written === 0) say('Nothing was written: this was sent before.');
    if (outcome.taken.length > 0)
      sayFolded(`Taken: ${outcome.taken.map((t) => `${t.count} ${t.part} from ${t.lot}`).join(', ')}.`);
    for (const one of outcome.judged) (await printing()).sayMeasured(outcome, one);
    sayFolded(outcome.verdict);
  }
}

function registerSteps(group: Command): void {
  deedCommand(group, 'tick <serial> <step>', 'Ticks a step off, and takes its parts from the oldest lots.')
    .option('--time <s>', 'how long it took, seconds', number)
    .option('--no-parts', 'takes no parts: they are noted by `unit fit`, or not at all')
    .action(async (serial: string, step: string, options: BenchOptions & { time?: number; parts: boolean }) => {
      const { tickAndFit } = await import('../../app/bench/fitting.ts');
      await doAndTell(serial, options, (state) =>
        tickAndFit(state, serial, { step, time_s: options.time, partsLeft: !options.parts }),
      );
    });
  deedCommand(group, 'untick <serial> <step>', 'Takes a tick back; the tick stays in the record.').action(
    async (serial: string, step: string, options: BenchOptions) => {
      const { untickStep } = await units();
      await doAndTell(serial, options, (state) => untickStep(state, serial, step));
    },
  );
}

interface MeasureOptions extends BenchOptions {
  readonly instrument?: string;
  readonly uncertainty?: number;
  readonly note?: string;
  readonly file?: string;
  readonly correct?: boolean;
}

function registerGates(group: Command): void {
  deedCommand(group, 'measure <serial> <gate> [value]', 'Writes a measurement at a gate down, and judges it.')
    .option('--file <file>', 'the measurement as a file: an antenna sweep (.s1p), judged over the band of the gate')
    .option('--instrument <name>', 'what it was measured with')
    .option('--uncertainty <value>', 'expanded uncertainty, in the unit of the gate (default: of the plan)', number)
    .option('--note <text>', 'remark')
    .option('--correct', 'takes the place of the last measurement, which was written down wrongly')
    .action(async (serial: string, gate: string, value: string | undefined, options: MeasureOptions, made: Command) => {
      if ((value === undefined) === (options.file === undefined))
        made.error('error: give a value, or --file with the measurement.');
      const { measureGate } = await units();
      const { instrument, uncertainty, note, correct, file } = options;
      if (file === undefined)
        return doAndTell(serial, options, (state) =>
          measureGate(state, serial, { gate, value: value!, instrument, uncertainty, note, correct }),
        );
      const [{ sweepAtGate }, { readText }, { digest }] = await Promise.all([
        import('../../app/bench/sweep-gate.ts'),
        import('../../host/files.ts'),
        import('../../host/folders.ts'),
      ]);
      const text = await readText(file);
      const evidence = { name: file.replace(/^.*[/\\]/, ''), sha256: digest(text) };
      await doAndTell(serial, options, (state) =>
        measureGate(state, serial, {
          gate,
          value: sweepAtGate(state, serial, gate, text, file),
          file: evidence,
          instrument,
          uncertainty,
          note,
          correct,
        }),
      );
    });
  deedCommand(
    group,
    'override <serial> <gate>',
    'Lets a unit past a gate on a name and a reason; the certificate shows it.',
  )
    .requiredOption('--name <name>', 'who answers for it')
    .requiredOption('--reason <text>', 'why')
    .action(async (serial: string, gate: string, options: BenchOptions & { name: string; reason: string }) => {
      const { overrideGate } = await units();
      const { name, reason } = options;
      await doAndTell(serial, options, (state) => overrideGate(state, serial, { gate, name, reason }));
    });
  deedCommand(group, 'rework <serial>', 'Begins a rework: gates are measured again, steps done again.')
    .requiredOption('--reason <text>', 'what is mended')
    .option('--gate <gate>', 'gate to be measured again; may be repeated (default: those that failed)', gather)
    .option('--step <step>', 'step to be done again; may be repeated', gather)
    .action(async (serial: string, options: BenchOptions & { reason: string; gate?: string[]; step?: string[] }) => {
      const { beginRework } = await units();
      const { reason, gate, step } = options;
      await doAndTell(serial, options, (state) =>
        beginRework(state, serial, {
          reason,
          ...(gate === undefined ? {} : { gates: gate }),
          ...(step === undefined ? {} : { steps: step }),
        }),
      );
    });
}

function registerParts(group: Command): void {
  deedCommand(group, 'fit <serial> [part]', 'Takes parts from a lot into the unit.')
    .option('--lot <lot>', 'lot that they come from (default: the oldest that has enough and is not quarantined)')
    .option('--count <n>', 'how many (default: as in the bill of materials)', whole(1))
    .option('--short', 'also when the stores say that there are too few')
    .action(
      async (
        serial: string,
        part: string | undefined,
        options: BenchOptions & { lot?: string; count?: number; short?: boolean },
      ) => {
        const { fitFromStores } = await import('../../app/bench/fitting.ts');
        const { lot, count, short } = options;
        await doAndTell(serial, options, (state) => fitFromStores(state, serial, { part, lot, count, short }));
      },
    );
  deedCommand(group, 'take-out <serial> <part>', 'Takes parts out of the unit again.')
    .requiredOption('--lot <lot>', 'lot that they came from')
    .option('--count <n>', 'how many (default: all of that lot)', whole(1))
    .option('--scrap', 'to scrap (default: back to the stores)')
    .action(
      async (
        serial: string,
        part: string,
        options: BenchOptions & { lot: string; count?: number; scrap?: boolean },
      ) => {
        const { takeOutPart } = await units();
        const { lot, count, scrap } = options;
        await doAndTell(serial, options, (state) =>
          takeOutPart(state, serial, { part, lot, count, to: scrap ? 'scrap' : 'stores' }),
        );
      },
    );
  deedCommand(
    group,
    'keep-key <serial> <name>',
    'Keeps a key of its radio, read from standard input; it is never shown again.',
  ).action(async (serial: string, name: string, options: BenchOptions) => {
    const [{ keepSecret }, { askSecret }] = await Promise.all([units(), import('../ask-secret.ts')]);
    const value = (await askSecret(`${name} of ${serial}: `)).trim();
    await doAndTell(serial, options, (state) => keepSecret(state, serial, name, value));
  });
}

interface ShipOptions extends BenchOptions {
  readonly order?: string;
  readonly rested?: number;
  readonly temperature?: number;
  readonly charge?: number;
  readonly carrier?: string;
  readonly chargeTold?: boolean;
  readonly packing?: 'contained' | 'with equipment' | 'alone';
  readonly check?: boolean;
}

/** Whether the kit stays up where its order is for, as a note: a parcel is never held back by it. */
async function placeNotes({ state, workshop }: OpenBench, key: string | undefined): Promise<string[]> {
  const order = key === undefined ? undefined : state.orders.get(key);
  if (order?.place === undefined) return [];
  const { placeCheck } = await import('../../app/bench/place-check.ts');
  try {
    const { verdict, notes } = await placeCheck(workshop, state, order.key);
    return [verdict, ...notes];
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return error.problems.map(({ message }) => `the place was not checked: ${message}`);
  }
}

/** The charge that a unit leaves with: told, or from its rested voltage by the cells of the plan's kit. */
async function chargeFor(bench: OpenBench, serial: string, options: ShipOptions) {
  const [{ checkCharge }, { chargeLook, chargeNotes }, { kitOfPlan }, { batchIn, planOfUnit, unitIn }] =
    await Promise.all([
      import('../../app/bench/charge.ts'),
      import('../../app/bench/ship-check.ts'),
      import('../../app/bench/kit-of-plan.ts'),
      import('../../app/bench/find.ts'),
    ]);
  const { workshop, state } = bench;
  const unit = unitIn(state, serial);
  const { rested: rested_V, temperature: temperature_degC, charge, packing } = options;
  const { region } = batchIn(state, unit.batch);
  const kit = rested_V === undefined ? undefined : (await kitOfPlan(workshop, planOfUnit(state, unit), region))?.kit;
  const look = chargeLook(unit.serial, kit, { rested_V, temperature_degC, charge_pct: charge, packing });
  const charge_pct = look.charge_pct ?? undefined;
  checkCharge(unit.serial, charge_pct, options.chargeTold === true, packing);
  return { charge_pct, notes: chargeNotes(look) };
}

/** What is told of a parcel. */
const shipOptions = (command: Command): Command =>
  command
    .option('--rested <v>', 'voltage of a cell that has rested an hour, V: gives the state of charge', number)
    .option('--temperature <degc>', 'temperature of the cells then, °C', number)
    .option('--charge <pct>', 'state of charge, %, in place of that from the voltage', number)
    .option('--charge-told', "the carrier's current rules allow more than 30 % charge")
    .addOption(
      new Option('--packing <where>', 'where the cells are, for the rule on their charge (default contained)').choices([
        'contained',
        'with equipment',
        'alone',
      ]),
    )
    .option('--carrier <name>', 'who takes it along');

const causeOption = (group: Command, text: string) => group.createOption('--cause <word>', text).choices(RETURN_CAUSES);

/** Another unit in place of one; and where a unit stands. */
function registerSwap(group: Command): void {
  shipOptions(
    deedCommand(
      group,
      'swap <serial> <other>',
      "Ships another unit in its place, under the same order; the first one is the maker's from then on.",
    ),
  ).action(async (serial: string, other: string, options: ShipOptions) => {
    const [{ swapUnit }, { unitLook }] = await Promise.all([leaving(), import('../../app/bench/unit-look.ts')]);
    const { rested: rested_V, temperature: temperature_degC, carrier } = options;
    const outcome = await withBench(options, async (bench) => {
      const { charge_pct, notes } = await chargeFor(bench, other, options);
      const entries = await bench.act((state) =>
        swapUnit(state, serial, other, {
          ...(rested_V === undefined ? {} : { rested_V }),
          ...(temperature_degC === undefined ? {} : { temperature_degC }),
          ...(charge_pct === undefined ? {} : { charge_pct }),
          ...(carrier === undefined ? {} : { carrier }),
        }),
      );
      return { written: entries.length, notes, ...unitLook(bench.state, serial) };
    });
    if (options.json) return sayJson(outcome);
    sayFolded(outcome.verdict);
    sayNotes(outcome.notes, 'Notes');
  });
  deedCommand(group, 'install <serial> <perch>', 'Notes at which perch of the workshop a shipped unit stands.').action(
    async (serial: string, perch: string, options: BenchOptions) => {
      const [{ installUnit }, { perchThere }] = await Promise.all([
        leaving(),
        import('../../app/bench/unit-forecast.ts'),
      ]);
      const there = ({ workshop }: OpenBench) => perchThere(workshop, perch);
      await doAndTell(serial, options, (state) => installUnit(state, serial, perch), there);
    },
  );
  registerForecast(group);
}

function registerShip(group: Command): void {
  shipOptions(
    deedCommand(
      group,
      'ship <serial>',
      'Notes that a unit leaves. Refused with an open gate or a part that is kept back.',
    ).option('--order <key>', 'order that it goes to (default: the one that it is kept for)'),
  )
    .option('--no-check', 'leave out whether the kit stays up at the place of the order')
    .action(async (serial: string, options: ShipOptions) => {
      const [{ shipUnit }, { unitLook }] = await Promise.all([leaving(), import('../../app/bench/unit-look.ts')]);
      const { order, rested: rested_V, temperature: temperature_degC, carrier } = options;
      const outcome = await withBench(options, async (bench) => {
        const { charge_pct, notes } = await chargeFor(bench, serial, options);
        const given = { order, rested_V, temperature_degC, charge_pct, carrier };
        const entries = await bench.act((state) => shipUnit(state, serial, given));
        const look = unitLook(bench.state, serial);
        // Once it is written: what the place is like keeps nothing waiting.
        const place = options.check === false ? [] : await placeNotes(bench, order ?? look.order ?? undefined);
        return { written: entries.length, notes: [...notes, ...place], ...look };
      });
      if (options.json) return sayJson(outcome);
      sayFolded(outcome.verdict);
      sayNotes(outcome.notes, 'Notes');
    });
}

function registerLeaving(group: Command): void {
  registerShip(group);
  deedCommand(group, 'reserve <serial>', 'Keeps a unit for an order.')
    .requiredOption('--order <key>', 'the order')
    .action(async (serial: string, options: BenchOptions & { order: string }) => {
      const { reserveUnits } = await leaving();
      await doAndTell(serial, options, (state) => reserveUnits(state, options.order, [serial]));
    });
  deedCommand(group, 'return <serial>', 'Notes that a shipped unit has come back.')
    .requiredOption('--reason <text>', 'why')
    .addOption(causeOption(group, 'what the customer tells, for the count of returns'))
    .action(async (serial: string, options: BenchOptions & { reason: string; cause?: ReturnCause }) => {
      const { takeBack } = await leaving();
      await doAndTell(serial, options, (state) => takeBack(state, serial, options.reason, options.cause));
    });
  deedCommand(group, 'repair <serial>', 'Notes a repair: the unit stands at the bench again, its gates are open.')
    .requiredOption('--what <text>', 'what was done')
    .addOption(causeOption(group, 'what it was, once somebody has looked'))
    .option('--time <s>', 'how long it took, seconds', number)
    .option('--gate <gate>', 'gate to be measured again; may be repeated (default: all that are required)', gather)
    .action(
      async (
        serial: string,
        options: BenchOptions & { what: string; cause?: ReturnCause; time?: number; gate?: string[] },
      ) => {
        const { repairUnit } = await leaving();
        const { what, cause, time, gate } = options;
        await doAndTell(serial, options, (state) =>
          repairUnit(state, serial, { what, cause, time_s: time, gates: gate }),
        );
      },
    );
  registerSwap(group);
  deedCommand(group, 'scrap <serial>', 'Takes a unit out of the batch for good.')
    .requiredOption('--reason <text>', 'why')
    .action(async (serial: string, options: BenchOptions & { reason: string }) => {
      const { scrapUnit } = await leaving();
      await doAndTell(serial, options, (state) => scrapUnit(state, serial, options.reason));
    });
}
