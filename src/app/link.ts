/** The ends of a radio link, from kit and perch: power, antenna, noise; and the error band of a link. */
import {
  exactBandwidth_kHz,
  noiseFloor_dBm,
  parseCodingRate,
  type RadioSetting,
  snrLimit_dB,
} from '../core/airtime/index.ts';
import {
  gammaOfVswr,
  LINEAR_CIRCULAR_dB,
  markerAt,
  mismatchLoss_dB,
  polarizationLoss_dB,
  stickGain_dBi,
} from '../core/antenna/index.ts';
import type { Assumption } from '../core/energy/index.ts';
import { typicalTransmit_mA } from '../core/load/index.ts';
import {
  freeSpaceLoss_dB,
  type LinkEnd,
  manMadeNoise,
  type NoiseSetting,
  systemNoiseFigure_dB,
  type Verdict,
} from '../core/path/index.ts';
import { UserError, userError } from '../core/units/index.ts';
import { readTouchstone } from '../formats/touchstone.ts';
import type { Antenna, Kit, Perch } from '../records/index.ts';
import { beside, readKitFile } from './inputs.ts';
import type { Ports } from './ports.ts';

/** Radio and antenna of one end, wherever it stands. */
export interface StationRadio {
  readonly kit: string;
  readonly handHeld: boolean;
  readonly frequency_MHz: number;
  readonly setting: RadioSetting;
  readonly power_dBm: number;
  readonly receiverFigure_dB: number;
  /** Cable, connectors and filter. */
  readonly feederLoss_dB: number;
  readonly filterRejection_dB: number;
  readonly blocking_dB: number;
  readonly noiseRise_dB: number | undefined;
  readonly mismatchLoss_dB: number;
  readonly gain_dBi: number;
  readonly pattern: 'stick' | 'isotropic';
  readonly polarization: NonNullable<Antenna['polarization']>;
  /** While sending, at the supply of the radio. */
  readonly transmit: {
    readonly current_mA: number;
    readonly supply_V: number;
    /** On the air in an hour, as the kit says. */
    readonly airtime_s_per_h?: number;
  };
}

/** An end of a link: its radio and where it stands. */
export interface Station extends StationRadio {
  readonly name: string;
  readonly height_m: number;
  readonly environment: NoiseSetting;
  /** Noise that a transmitter nearby adds at the connector, dB over the receiver's own; 0 where there is none. */
  readonly coSitedRise_dB: number;
}

/** A strong transmitter on the same mast or near it, on another frequency. */
export interface CoSited {
  readonly eirp_dBm: number;
  readonly distance_m: number;
  readonly frequency_MHz: number;
}

/** What a kit leaves open. */
export const USUAL = {
  noiseFigure_dB: 6,
  feederLoss_dB: 0.5,
  gain_dBi: 2,
  blocking_dB: 80,
  environment: 'rural',
  perchHeight_m: 4,
  handHeldHeight_m: 1.5,
  /** A short antenna beside a body. */
  handHeldGain_dBi: -2,
  supply_V: 3.3,
} as const;

/** Setting and power where no kit tells them: a short-range device at 868 MHz. */
export const NO_KIT = { frequency_MHz: 868.3, sf: 8, bandwidth_kHz: 125, codingRate: 6, power_dBm: 14 } as const;

/** Standard deviation of the error of a computed loss, by the kind of link (judgement; measured links narrow it). */
export const MODEL_SPREAD_dB = { clear: 6, obstructed: 10 } as const;
export type LinkKind = keyof typeof MODEL_SPREAD_dB;

/** A link whose ray is free, if only just, is of the clear kind. */
export const linkKind = (verdict: Verdict): LinkKind =>
  verdict === 'clear' || verdict === 'grazing' ? 'clear' : 'obstructed';

/** Tells a default as an assumption and gives it. */
export type Assume = <T>(field: string, given: T | undefined, value: T, why: string, unit?: string) => T;

export function assumer(list: Assumption[]): Assume {
  return (field, given, value, why, unit) => {
    if (given !== undefined) return given;
    list.push({ field, value: unit === undefined ? String(value) : `${value} ${unit}`, why });
    return value;
  };
}

/**
 * Reads a kit file as an end of a link. `end` names it in assumptions: `a` or `b`.
 *
 * Throws UserError for a kit without `radio`, and for a sweep that cannot be read or does not reach the carrier.
 */
export async function readStationRadio(
  ports: Ports,
  path: string,
  set: readonly string[],
  end: string,
  assumptions: Assumption[],
): Promise<StationRadio> {
  const { kit } = await readKitFile(ports, path, set);
  const sweep = kit.antenna?.sweep;
  const mismatch_dB =
    sweep === undefined || kit.radio === undefined
      ? undefined
      : await sweepMismatch_dB(ports, beside(path, sweep), kit.radio.frequency_MHz);
  return stationRadioOf(kit, path, end, assumptions, mismatch_dB);
}

async function sweepMismatch_dB(ports: Ports, file: string, frequency_MHz: number): Promise<number> {
  const { sweep } = readTouchstone(await ports.readText(file), file);
  try {
    return markerAt(sweep, frequency_MHz).mismatchLoss_dB;
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    throw new UserError(error.problems.map((p) => ({ ...p, place: { file, field: 'kit.antenna.sweep' } })));
  }
}

/** A kit that is read already; `mismatch_dB` is that of its measured sweep. */
export function stationRadioOf(
  kit: Kit,
  file: string,
  end: string,
  assumptions: Assumption[],
  mismatch_dB?: number,
): StationRadio {
  const { radio, antenna } = kit;
  if (radio === undefined)
    throw userError(
      'link.radio',
      'radio is missing: a link needs frequency_MHz, spreadingFactor, bandwidth_kHz, codingRate and power_dBm; `sunperch new kit` shows them',
      { file, field: 'kit.radio' },
    );
  const assume = assumer(assumptions);
  const field = (name: string) => `${end}: kit.${name}`;
  const feeder_dB = assume(
    field('antenna.feederLoss_dB'),
    antenna?.feederLoss_dB,
    USUAL.feederLoss_dB,
    'a short cable with two connectors',
    'dB',
  );
  const measured =
    mismatch_dB ?? (antenna?.vswr === undefined ? undefined : mismatchLoss_dB(gammaOfVswr(antenna.vswr)));
  const { transmit, regulator } = kit.load;
  const sameSupply = transmit?.current_mA !== undefined;
  return {
    kit: kit.name,
    handHeld: false,
    frequency_MHz: radio.frequency_MHz,
    setting: {
      sf: radio.spreadingFactor,
      bandwidth_kHz: exactBandwidth_kHz(radio.bandwidth_kHz),
      codingRate: parseCodingRate(radio.codingRate),
    },
    power_dBm: radio.power_dBm,
    receiverFigure_dB: assume(
      field('radio.noiseFigure_dB'),
      radio.noiseFigure_dB,
      USUAL.noiseFigure_dB,
      'the usual receiver',
      'dB',
    ),
    feederLoss_dB: feeder_dB + (radio.filterLoss_dB ?? 0),
    filterRejection_dB: radio.filterRejection_dB ?? 0,
    blocking_dB: radio.blocking_dB ?? USUAL.blocking_dB,
    noiseRise_dB: radio.noiseRise_dB,
    mismatchLoss_dB: assume(
      field('antenna.vswr'),
      measured,
      0,
      'neither sweep nor standing-wave ratio is given: no loss by mismatch',
      'dB lost',
    ),
    gain_dBi: assume(field('antenna.gain_dBi'), antenna?.gain_dBi, USUAL.gain_dBi, 'a plain stick', 'dBi'),
    pattern: antenna?.pattern ?? 'stick',
    polarization: antenna?.polarization ?? 'vertical',
    transmit: {
      current_mA: transmit?.current_mA ?? typicalTransmit_mA(Math.min(radio.power_dBm, 22)),
      supply_V: sameSupply ? (regulator?.output_V ?? USUAL.supply_V) : USUAL.supply_V,
      ...(transmit === undefined ? {} : { airtime_s_per_h: transmit.airtime_s_per_h }),
    },
  };
}

/** A hand-held that can talk to `other`: its setting and power, a short antenna beside a body. */
export function handHeld(other: StationRadio | undefined, end: string, assumptions: Assumption[]): StationRadio {
  const like = other ?? {
    frequency_MHz: NO_KIT.frequency_MHz,
    setting: { sf: NO_KIT.sf, bandwidth_kHz: NO_KIT.bandwidth_kHz, codingRate: NO_KIT.codingRate },
    power_dBm: NO_KIT.power_dBm,
  };
  const power_dBm = Math.min(like.power_dBm, 22);
  assumptions.push({
    field: `${end}: --kit-${end}`,
    value: `hand-held with ${power_dBm} dBm, ${USUAL.handHeldGain_dBi} dBi and a noise figure of ${USUAL.noiseFigure_dB} dB`,
    why: `no kit is named: the setting and power of the other end, a short antenna beside a body (from memory)`,
  });
  return {
    kit: 'hand-held',
    handHeld: true,
    frequency_MHz: like.frequency_MHz,
    setting: like.setting,
    power_dBm,
    receiverFigure_dB: USUAL.noiseFigure_dB,
    feederLoss_dB: 0,
    filterRejection_dB: 0,
    blocking_dB: USUAL.blocking_dB,
    noiseRise_dB: undefined,
    mismatchLoss_dB: 0,
    gain_dBi: USUAL.handHeldGain_dBi,
    pattern: 'isotropic',
    polarization: 'vertical',
    transmit: { current_mA: typicalTransmit_mA(power_dBm), supply_V: USUAL.supply_V },
  };
}

/** `quiet-rural` as the core calls it. */
export const noiseSetting = (environment: NonNullable<Perch['environment']>): NoiseSetting =>
  environment === 'quiet-rural' ? 'quiet rural' : environment;

/** Both ends hear each other only with one setting on one frequency. */
export function checkSameSetting(a: StationRadio, b: StationRadio): void {
  const told = (s: StationRadio) => `SF${s.setting.sf} / ${s.setting.bandwidth_kHz} kHz at ${s.frequency_MHz} MHz`;
  const apart_kHz = Math.abs(a.frequency_MHz - b.frequency_MHz) * 1000;
  if (a.setting.sf === b.setting.sf && a.setting.bandwidth_kHz === b.setting.bandwidth_kHz && apart_kHz < 1) return;
  throw userError(
    'link.setting',
    `${a.kit} uses ${told(a)}, ${b.kit} ${told(b)}: they cannot hear each other; one spreading factor, bandwidth and frequency for both, e.g. --set kit.radio.spreadingFactor=${a.setting.sf}`,
    { field: 'kit.radio' },
  );
}

/** Noise figure of the whole receiver, seen from the antenna's terminals, dB over kT0B, and its noise at the connector, dBm. */
export function receiverNoise(s: Station): { readonly figure_dB: number; readonly floor_dBm: number } {
  const outside = [manMadeNoise(s.frequency_MHz, s.environment).figure_dB];
  const receiver_dB = s.receiverFigure_dB + s.coSitedRise_dB;
  const figure_dB =
    s.noiseRise_dB === undefined
      ? systemNoiseFigure_dB(receiver_dB, s.feederLoss_dB, outside)
      : receiver_dB + s.noiseRise_dB + s.feederLoss_dB;
  return { figure_dB, floor_dBm: noiseFloor_dBm(s.setting.bandwidth_kHz, figure_dB) - s.feederLoss_dB };
}

/** The end of a link budget, with the antenna's gain towards an elevation above the horizontal. */
export function linkEnd(s: Station, elevation_deg: number): LinkEnd {
  return {
    transmit_dBm: s.power_dBm,
    feederLoss_dB: s.feederLoss_dB,
    mismatchLoss_dB: s.mismatchLoss_dB,
    gain_dBi: s.pattern === 'stick' ? stickGain_dBi(s.gain_dBi, elevation_deg) : s.gain_dBi,
    sensitivity_dBm: receiverNoise(s).floor_dBm + snrLimit_dB(s.setting.sf),
  };
}

/** Loss between two polarizations, dB: none alike, half of the power between linear and circular, 20 dB across (from memory). */
export function crossLoss_dB(a: StationRadio['polarization'], b: StationRadio['polarization']): number {
  if (a === b) return 0;
  return a === 'circular' || b === 'circular' ? LINEAR_CIRCULAR_dB : polarizationLoss_dB(90);
}

/**
 * Rise of the receiver's noise by a strong transmitter nearby on another frequency, dB.
 *
 * Plain estimate: free space between the two antennas, both with their gain; the filter takes its rejection off; a blocker that stands
 * `blocking_dB` above the weakest signal costs 3 dB, so it acts like noise as strong as the receiver's own. Noise that the transmitter itself
 * sends into the channel is not in it. The usual 80 dB is a cautious step below the 88 dB at 1 MHz that a
 * distributor quotes from the data sheet of the SX1261/2. Not validated: measure the rise where it matters.
 */
export function coSitedRise_dB(s: StationRadio, near: CoSited): number {
  const { eirp_dBm, distance_m, frequency_MHz } = near;
  if (
    !(distance_m >= 0.1 && distance_m <= 1e5 && frequency_MHz > 0 && frequency_MHz <= 1e5 && Math.abs(eirp_dBm) <= 100)
  )
    throw userError(
      'link.coSited',
      `--co-sited is ${eirp_dBm},${distance_m},${frequency_MHz}: wanted are e.i.r.p. in dBm, distance in m and frequency in MHz, e.g. 40,15,1800`,
      { field: '--co-sited' },
    );
  const received_dBm =
    eirp_dBm -
    Math.max(freeSpaceLoss_dB(distance_m / 1000, frequency_MHz), 0) +
    s.gain_dBi -
    s.feederLoss_dB -
    s.filterRejection_dB;
  const weakest_dBm = noiseFloor_dBm(s.setting.bandwidth_kHz, s.receiverFigure_dB) + snrLimit_dB(s.setting.sf);
  return 10 * Math.log10(1 + 10 ** ((received_dBm - weakest_dBm - s.blocking_dB) / 10));
}
