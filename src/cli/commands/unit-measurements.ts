import type { Command } from 'commander';
import type { Measurement } from '../../app/bench/measurements.ts';
import { type BenchOptions, deedCommand, withBench } from '../bench.ts';
import { number, whole } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { sayAssumptions, sayFolded, sayNotes } from '../tail.ts';

const measuring = () => import('../../app/bench/measurements.ts');

interface KeepOptions extends BenchOptions {
  readonly keep?: boolean;
}

/** `sunperch unit cells`, `ramp`, `current`, `panel`: measurements that a unit's forecast reads. */
export function registerMeasurements(group: Command): void {
  const keeping = (usage: string, text: string) =>
    deedCommand(group, usage, text).option('--keep', 'keeps the values with the unit, for its forecast');

  keeping('cells <serial> <log>', 'Capacity and resistance of one cell from a discharge log (CSV).')
    .option('--empty <V>', 'voltage at which the cell counts as empty (default 2.5)', number)
    .option('--resistor <ohm>', 'the cell was emptied through this resistor: the log needs no current', number)
    .option('--cells <n>', 'cells in parallel that the log is of (default 1)', whole(1))
    .option('--temperature <degC>', 'temperature of the cell', number)
    .action(
      async (
        serial: string,
        log: string,
        o: KeepOptions & { empty?: number; resistor?: number; cells?: number; temperature?: number },
        command: Command,
      ) => {
        if (o.resistor !== undefined && !(o.resistor > 0)) command.error('error: --resistor is above 0.');
        const { measureCells } = await measuring();
        const { text, file } = await evidence(log);
        const request = { empty_V: o.empty, resistor_ohm: o.resistor, cells: o.cells, temperature_degC: o.temperature };
        await tell('unit cells', serial, o, measureCells(text, file, request));
      },
    );
  keeping('ramp <serial> <log>', 'Cut-off, reconnect and own consumption from a log of a supply ramp (CSV).')
    .option('--threshold <mA>', 'current above which the load is on (default: found from the log)', number)
    .action(async (serial: string, log: string, o: KeepOptions & { threshold?: number }) => {
      const { measureRamp } = await measuring();
      const { text, file } = await evidence(log);
      await tell('unit ramp', serial, o, measureRamp(text, file, { threshold_mA: o.threshold }));
    });
  keeping('current <serial> <log>', 'Average and states of its load from a current log (CSV).')
    .option('--sleep <n>', 'number of the state in which it sleeps; kept in place of the average', whole(1))
    .option('--receive <n>', 'number of the state in which it listens; kept in place of the average', whole(1))
    .action(async (serial: string, log: string, o: KeepOptions & { sleep?: number; receive?: number }) => {
      const { measureCurrent } = await measuring();
      const { text, file } = await evidence(log);
      await tell('unit current', serial, o, measureCurrent(text, file, { sleep: o.sleep, receive: o.receive }));
    });
  registerPanel(keeping('panel [serial]', 'Real watts of its panel from one reading in the sun.'));
}

interface PanelOptions extends KeepOptions {
  readonly kit?: string;
  readonly isc: number;
  readonly voc: number;
  readonly at: string;
  readonly lat: number;
  readonly lon: number;
  readonly elevation?: number;
  readonly tilt: number;
  readonly azimuth: number;
  readonly temperature?: number;
  readonly wind?: number;
  readonly cellTemperature?: number;
  readonly irradiance?: number;
  readonly turbidity?: number;
  readonly panel?: number;
}

function registerPanel(command: Command): void {
  command
    .option('--kit <file>', 'kit file with the data sheet (default: the kit of the unit, from the workshop)')
    .requiredOption('--isc <A>', 'short-circuit current', number)
    .requiredOption('--voc <V>', 'open-circuit voltage', number)
    .requiredOption('--at <time>', 'ISO 8601 with offset from UTC, e.g. 2026-06-21T11:30+02:00')
    .requiredOption('--lat <deg>', 'latitude, degrees, north positive', number)
    .requiredOption('--lon <deg>', 'longitude, degrees, east positive', number)
    .requiredOption('--tilt <deg>', 'tilt of the panel from the horizontal', number)
    .requiredOption('--azimuth <deg>', 'direction it faced, clockwise from north', number)
    .option('--elevation <m>', 'height above the sea (default 0)', number)
    .option('--temperature <degC>', 'of the air (default 20)', number)
    .option('--wind <m/s>', 'wind (default 1)', number)
    .option('--cell-temperature <degC>', 'measured on the back of the panel, in place of air and wind', number)
    .option('--irradiance <W/m2>', "measured in the panel's plane, in place of the clear sky", number)
    .option('--turbidity <n>', 'haze: 2 very clear, 3 clear (default), 5 hazy', number)
    .option('--panel <n>', 'which panel of the kit (default 1)', whole(1))
    .action(async (serial: string | undefined, o: PanelOptions, made: Command) => {
      if (serial === undefined && (o.kit === undefined || o.keep))
        made.error(
          o.keep ? 'error: --keep needs the serial of a unit.' : 'error: name a unit, or a kit file with --kit.',
        );
      const { measurePanel } = await measuring();
      const request = {
        isc_A: o.isc,
        voc_V: o.voc,
        at: o.at,
        latitude_deg: o.lat,
        longitude_deg: o.lon,
        elevation_m: o.elevation,
        tilt_deg: o.tilt,
        azimuth_deg: o.azimuth,
        air_degC: o.temperature,
        wind_m_s: o.wind,
        cell_degC: o.cellTemperature,
        irradiance_W_m2: o.irradiance,
        linkeTurbidity: o.turbidity,
        panel: o.panel,
      };
      const kit = o.kit === undefined ? await kitOfUnit(serial!, o) : await kitInFile(o.kit);
      await tell('unit panel', serial ?? null, o, measurePanel(kit, request));
    });
}

async function kitInFile(path: string) {
  const [{ readKitFile }, { realPorts }] = await Promise.all([import('../../app/inputs.ts'), import('../wiring.ts')]);
  const { ports, close } = realPorts();
  try {
    return (await readKitFile(ports, path)).kit;
  } finally {
    close();
  }
}

async function kitOfUnit(serial: string, options: BenchOptions) {
  const [{ batchIn, planOfUnit, unitIn }, { kitOfPlan }, { userError }] = await Promise.all([
    import('../../app/bench/find.ts'),
    import('../../app/bench/kit-of-plan.ts'),
    import('../../core/units/index.ts'),
  ]);
  return withBench(options, async ({ state, workshop }) => {
    const unit = unitIn(state, serial);
    const plan = planOfUnit(state, unit);
    const found = await kitOfPlan(workshop, plan, batchIn(state, unit.batch).region);
    if (found === undefined)
      throw userError('no-kit-of-unit', `the workshop does not hold the kit ${plan.kit}: name its file with --kit`);
    return found.kit;
  });
}

async function evidence(path: string) {
  const [{ readText }, { digest }] = await Promise.all([
    import('../../host/files.ts'),
    import('../../host/folders.ts'),
  ]);
  const text = await readText(path);
  return { text, file: { name: path.replace(/^.*[/\\]/, ''), sha256: digest(text) } };
}

/** Keeps the values where that is asked for, and tells what was found. */
async function tell(
  command: string,
  serial: string | null,
  options: KeepOptions,
  found: Measurement<unknown>,
): Promise<void> {
  const { noteMeasured } = await import('../../app/bench/units.ts');
  const { values } = found;
  let written = 0;
  if (options.keep && serial !== null && values.length > 0)
    written = await withBench(options, async (bench) => {
      const entries = await bench.act((state) => values.flatMap((value) => noteMeasured(state, serial, value)));
      return entries.length;
    });
  if (options.json) {
    sayJson({ command, unit: serial, written, ...found });
    return;
  }
  sayFolded(found.verdict);
  if (written > 0) say(`Kept with ${serial}: ${values.map((value) => value.field).join(', ')}.`);
  else if (options.keep) say('Nothing was written: there is nothing to keep, or this was sent before.');
  else if (serial !== null && values.length > 0) say('Not kept: add --keep, and the forecast of the unit takes it.');
  sayNotes(found.notes, 'About the measurement');
  sayAssumptions(found.assumptions);
}
