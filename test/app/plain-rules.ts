/*
 * The plain rules of the reference runs, written anew from their text and from published equations, with a sun from another
 * package: an account of its own to hold the project's against. Slow and simple on purpose.
 */
import { getSpa, SPA_ZA } from 'nrel-spa';

export interface PlainHour {
  /** 1..12, 1..31, and the hour that the row ends, 1..24. */
  readonly month: number;
  readonly day: number;
  readonly hourEnding: number;
  readonly ghi_W_m2: number;
  readonly dni_W_m2: number;
  readonly dhi_W_m2: number;
  readonly temperature_degC: number;
  readonly wind_m_s: number;
}

export interface PlainPlace {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly utcOffset_h: number;
  readonly tilt_deg: number;
}

export interface PlainNode {
  readonly panel_W: number;
  readonly cells: number;
  readonly load_mA: number;
}

export interface PlainResult {
  readonly dark_h: number;
  readonly darkSpells: number;
  readonly longestDark_h: number;
  readonly unserved_Wh: number;
  readonly minStateOfCharge: number;
  readonly endStateOfCharge: number;
  readonly harvest_Wh: number;
  readonly coldBlocked_h: number;
}

const RAD = Math.PI / 180;

// Perez, Ineichen, Seals, Michalsky & Stewart 1990, Solar Energy 44, 271-289, table 6, all-sites composite; from memory.
const CLEARNESS_BOUNDS = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];
const F11 = [-0.008, 0.13, 0.33, 0.568, 0.873, 1.132, 1.06, 0.678];
const F12 = [0.588, 0.683, 0.487, 0.187, -0.392, -1.237, -1.6, -0.327];
const F13 = [-0.062, -0.151, -0.221, -0.295, -0.362, -0.412, -0.359, -0.25];
const F21 = [-0.06, -0.019, 0.055, 0.109, 0.226, 0.288, 0.264, 0.156];
const F22 = [0.072, 0.066, -0.064, -0.152, -0.462, -0.823, -1.127, -1.377];
const F23 = [-0.022, -0.029, -0.026, -0.014, 0.001, 0.056, 0.131, 0.251];

/** Light on the tilted plane that faces the equator, W/m². */
export function planeLight_W_m2(hour: PlainHour, at: PlainPlace): number {
  if (hour.ghi_W_m2 <= 0) return 0;
  const middle = new Date(
    Date.UTC(2001, hour.month - 1, hour.day, hour.hourEnding) - (at.utcOffset_h + 0.5) * 3_600_000,
  );
  const { zenith, azimuth } = getSpa(middle, at.latitude_deg, at.longitude_deg, 0, {
    function: SPA_ZA,
    elevation: at.elevation_m,
  });
  const [z, tilt] = [zenith * RAD, at.tilt_deg * RAD];
  const facing = at.latitude_deg < 0 ? 0 : 180;
  const cosIncidence = Math.cos(z) * Math.cos(tilt) + Math.sin(z) * Math.sin(tilt) * Math.cos((azimuth - facing) * RAD);
  const front = Math.max(0, cosIncidence);
  const ground = (0.2 * hour.ghi_W_m2 * (1 - Math.cos(tilt))) / 2;
  const isotropic = (1 + Math.cos(tilt)) / 2;
  // A sun below the horizon at mid-hour gives no beam.
  if (Math.cos(z) <= 0) return hour.dhi_W_m2 * isotropic + ground;
  let sky = 0;
  if (hour.dhi_W_m2 > 0) {
    const cubed = 1.041 * z ** 3;
    const clearness = ((hour.dhi_W_m2 + hour.dni_W_m2) / hour.dhi_W_m2 + cubed) / (1 + cubed);
    const bin = CLEARNESS_BOUNDS.filter((bound) => clearness >= bound).length;
    // Kasten & Young 1989; Spencer 1971 for the distance of the sun; 1367 W/m² (Frohlich & Brusa 1981).
    const airMass = 1 / (Math.cos(z) + 0.50572 * (96.07995 - zenith) ** -1.6364);
    const g = (2 * Math.PI * (dayOfYear(hour) - 1)) / 365;
    const distance =
      1.00011 +
      0.034221 * Math.cos(g) +
      0.00128 * Math.sin(g) +
      0.000719 * Math.cos(2 * g) +
      0.000077 * Math.sin(2 * g);
    const brightness = (hour.dhi_W_m2 * airMass) / (1367 * distance);
    const f1 = Math.max(0, F11[bin]! + F12[bin]! * brightness + F13[bin]! * z);
    const f2 = F21[bin]! + F22[bin]! * brightness + F23[bin]! * z;
    const ratio = front / Math.max(Math.cos(85 * RAD), Math.cos(z));
    sky = Math.max(0, hour.dhi_W_m2 * ((1 - f1) * isotropic + f1 * ratio + f2 * Math.sin(tilt)));
  }
  return hour.dni_W_m2 * front + sky + ground;
}

const dayOfYear = ({ month, day }: PlainHour) =>
  Math.round((Date.UTC(2001, month - 1, day) - Date.UTC(2001, 0, 1)) / 86_400_000) + 1;

/** Power of a panel of one watt through a charger of 0.85, W. */
export function perWatt_W(hour: PlainHour, light_W_m2: number): number {
  const cell_degC = hour.temperature_degC + light_W_m2 / (25 + 6.84 * hour.wind_m_s);
  return 0.85 * Math.max(0, (light_W_m2 / 1000) * (1 - 0.004 * (cell_degC - 25)));
}

/** Three passes; the third is told. `pv_W` is the charger's output by hour. */
export function runPlain(hours: readonly PlainHour[], pv_W: ArrayLike<number>, node: PlainNode): PlainResult {
  const full = node.cells * 3.4 * 3.6;
  const load = (node.load_mA * 3.6) / 1000;
  const ceiling = 0.9 * full;
  let stored = ceiling;
  let on = true;
  let told: PlainResult | null = null;
  for (let pass = 0; pass < 3; pass++) {
    let dark = 0;
    let spells = 0;
    let spell = 0;
    let longest = 0;
    let unserved = 0;
    let least = full;
    let harvest = 0;
    let blocked = 0;
    hours.forEach(({ temperature_degC }, i) => {
      const pv = pv_W[i]!;
      const cold = temperature_degC < 0;
      harvest += pv;
      if (cold && pv >= load) blocked++;
      if (on) {
        const net = pv - load;
        if (net < 0) stored += net;
        else if (!cold) stored += Math.min(net, ceiling - stored);
        if (stored <= 0.1 * full) {
          on = false;
          spells++;
          spell = 0;
        }
      } else {
        dark++;
        spell++;
        longest = Math.max(longest, spell);
        unserved += load;
        if (!cold) stored += Math.min(pv, ceiling - stored);
        if (stored >= 0.2 * full) on = true;
      }
      least = Math.min(least, stored);
    });
    told = {
      dark_h: dark,
      darkSpells: spells,
      longestDark_h: longest,
      unserved_Wh: unserved,
      minStateOfCharge: least / full,
      endStateOfCharge: stored / full,
      harvest_Wh: harvest,
      coldBlocked_h: blocked,
    };
  }
  return told!;
}
