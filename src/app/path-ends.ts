/** The two ends of a link as the command line names them: perch files or positions, with kits or hand-helds. */
import type { Assumption } from '../core/energy/index.ts';
import type { NoiseSetting } from '../core/path/index.ts';
import { userError } from '../core/units/index.ts';
import { readPerchFile } from './inputs.ts';
import {
  assumer,
  type CoSited,
  checkSameSetting,
  coSitedRise_dB,
  handHeld,
  noiseSetting,
  readStationRadio,
  type Station,
  type StationRadio,
  USUAL,
} from './link.ts';
import type { Ports } from './ports.ts';
import { type Position, parsePosition } from './position.ts';

export { type Position, parsePosition };

/** A place as it was named, before its radio is known. */
interface Spot {
  readonly name: string;
  readonly position: Position | undefined;
  readonly height_m: number | undefined;
  readonly elevation_m?: number | undefined;
  readonly environment: NoiseSetting | undefined;
}

export interface EndsRequest {
  /** Perch file, or LAT,LON[,HEIGHT]; undefined: a place that only the profile knows. */
  readonly a?: string | undefined;
  readonly b?: string | undefined;
  readonly kitA?: string | undefined;
  readonly kitB?: string | undefined;
  readonly fromHeight_m?: number | undefined;
  readonly toHeight_m?: number | undefined;
  /** Settings for both ends, and for one. */
  readonly set?: readonly string[] | undefined;
  readonly setA?: readonly string[] | undefined;
  readonly setB?: readonly string[] | undefined;
  readonly coSitedA?: CoSited | undefined;
  readonly coSitedB?: CoSited | undefined;
  /** Takes the place of the kits' carrier. */
  readonly frequency_MHz?: number | undefined;
}

export interface Ends {
  readonly a: Station;
  readonly b: Station;
  readonly positionA: Position | undefined;
  readonly positionB: Position | undefined;
  /** As the perch files say. */
  readonly elevationA_m: number | undefined;
  readonly elevationB_m: number | undefined;
}

async function readSpot(
  ports: Ports,
  text: string | undefined,
  fallback: string,
  set: readonly string[],
): Promise<Spot> {
  if (text === undefined) return { name: fallback, position: undefined, height_m: undefined, environment: undefined };
  const position = parsePosition(text);
  if (position !== undefined) {
    const { latitude_deg, longitude_deg, height_m } = position;
    const name = `${Math.abs(latitude_deg)} ${latitude_deg < 0 ? 'S' : 'N'} ${Math.abs(longitude_deg)} ${longitude_deg < 0 ? 'W' : 'E'}`;
    return { name, position: { latitude_deg, longitude_deg }, height_m, environment: undefined };
  }
  const { perch, plan } = await readPerchFile(
    ports,
    text,
    set.filter((s) => s.startsWith('perch.')),
  );
  const { latitude_deg, longitude_deg } = plan.place;
  return {
    name: plan.name,
    position: { latitude_deg, longitude_deg },
    height_m: perch.height_m,
    elevation_m: perch.elevation_m,
    environment: perch.environment === undefined ? undefined : noiseSetting(perch.environment),
  };
}

/**
 * Reads both ends. Where neither has a kit both are hand-helds; where one has, the other is a hand-held with its setting.
 *
 * Throws UserError for kits that cannot hear each other, two perches at one spot, and all that is wrong with the files.
 */
export async function readEnds(ports: Ports, request: EndsRequest, assumptions: Assumption[]): Promise<Ends> {
  const { set = [], setA = [], setB = [] } = request;
  const kit = (list: readonly string[]) => [...set, ...list].filter((s) => !s.startsWith('perch.'));
  const radio = (path: string | undefined, list: readonly string[], end: string) =>
    path === undefined ? undefined : readStationRadio(ports, path, kit(list), end, assumptions);
  let radioA: StationRadio | undefined = await radio(request.kitA, setA, 'a');
  let radioB: StationRadio | undefined = await radio(request.kitB, setB, 'b');
  radioA ??= handHeld(radioB, 'a', assumptions);
  radioB ??= handHeld(radioA, 'b', assumptions);
  checkSameSetting(radioA, radioB);
  const spotA = await readSpot(ports, request.a, radioA.handHeld ? 'hand-held' : 'A', [...set, ...setA]);
  const spotB = await readSpot(ports, request.b, radioB.handHeld ? 'hand-held' : 'B', [...set, ...setB]);
  const here = spotA.position;
  const there = spotB.position;
  if (here !== undefined && there !== undefined) {
    const apart = Math.max(
      Math.abs(here.latitude_deg - there.latitude_deg),
      Math.abs(here.longitude_deg - there.longitude_deg),
    );
    if (apart < 1e-6)
      throw userError(
        'path.sameSpot',
        `${spotA.name} and ${spotB.name} stand at one spot, ${here.latitude_deg}, ${here.longitude_deg}: a link needs two places`,
      );
  }
  const name = (spot: Spot, other: Spot, letter: string) =>
    spot.name === other.name ? `${spot.name} (${letter})` : spot.name;
  const a = station(radioA, spotA, name(spotA, spotB, 'A'), 'a', request.fromHeight_m, request.coSitedA, assumptions);
  const b = station(radioB, spotB, name(spotB, spotA, 'B'), 'b', request.toHeight_m, request.coSitedB, assumptions);
  const carrier = <S extends Station>(s: S): S =>
    request.frequency_MHz === undefined ? s : { ...s, frequency_MHz: request.frequency_MHz };
  return {
    a: carrier(a),
    b: carrier(b),
    positionA: here,
    positionB: there,
    elevationA_m: spotA.elevation_m,
    elevationB_m: spotB.elevation_m,
  };
}

function station(
  radio: StationRadio,
  spot: Spot,
  name: string,
  end: string,
  height_m: number | undefined,
  near: CoSited | undefined,
  assumptions: Assumption[],
): Station {
  const assume = assumer(assumptions);
  const tall = assume(
    `${end}: height_m`,
    height_m ?? spot.height_m,
    radio.handHeld ? USUAL.handHeldHeight_m : USUAL.perchHeight_m,
    radio.handHeld ? 'held in the hand' : 'neither perch nor option says how high the antenna stands above the ground',
    'm',
  );
  if (near !== undefined && radio.blocking_dB === USUAL.blocking_dB)
    assumptions.push({
      field: `${end}: kit.radio.blocking_dB`,
      value: `${USUAL.blocking_dB} dB`,
      why: 'below what data sheets promise at 1 MHz; the transmitter nearby is reckoned with it',
    });
  const environment =
    radio.noiseRise_dB === undefined
      ? assume(
          `${end}: perch.environment`,
          spot.environment,
          USUAL.environment as NoiseSetting,
          'for the man-made noise; supplies and lamps nearby can be far louder',
        )
      : (spot.environment ?? USUAL.environment);
  return {
    ...radio,
    name,
    height_m: tall,
    environment,
    coSitedRise_dB: near === undefined ? 0 : coSitedRise_dB(radio, near),
  };
}
