import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  checkSameSetting,
  coSitedRise_dB,
  crossLoss_dB,
  handHeld,
  linkEnd,
  linkKind,
  readStationRadio,
  receiverNoise,
  type Station,
  stationRadioOf,
} from '../../src/app/link.ts';
import type { Assumption } from '../../src/core/energy/index.ts';
import { kitOf, kitText } from '../records/reading.ts';
import { PORTS, problemsOf } from './real-ports.ts';

const RADIO = '{ frequency_MHz: 868, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: 4/6, power_dBm: 14 }';
const kit = (changes: Record<string, string> = {}) => kitOf(kitText({ radio: RADIO, ...changes })).value;
const radioOf = (changes: Record<string, string> = {}, told: Assumption[] = []) =>
  stationRadioOf(kit(changes), 'kit.yaml', 'a', told);
const stationOf = (changes: Record<string, string> = {}, more: Partial<Station> = {}): Station => ({
  ...radioOf(changes),
  name: 'A',
  height_m: 5,
  environment: 'quiet rural',
  coSitedRise_dB: 0,
  ...more,
});

describe('an end of a link', () => {
  it('fills what the kit leaves open and tells it', () => {
    const told: Assumption[] = [];
    const radio = radioOf({}, told);
    expect(radio).toMatchObject({ receiverFigure_dB: 6, feederLoss_dB: 0.5, gain_dBi: 2, mismatchLoss_dB: 0 });
    expect(told.map((a) => a.field)).toEqual([
      'a: kit.antenna.feederLoss_dB',
      'a: kit.radio.noiseFigure_dB',
      'a: kit.antenna.vswr',
      'a: kit.antenna.gain_dBi',
    ]);
    const full: Assumption[] = [];
    const radioText = RADIO.replace(' }', ', noiseFigure_dB: 7, filterLoss_dB: 2 }');
    const known = radioOf({ radio: radioText, antenna: '{ gain_dBi: 5, feederLoss_dB: 1, vswr: 2 }' }, full);
    expect(full).toEqual([]);
    // Ratio 2: |S11| = 1/3, loss -10 log(8/9) = 0.5115 dB.
    expect(known.mismatchLoss_dB).toBeCloseTo(0.5115, 4);
    expect(known.feederLoss_dB).toBe(3);
  });

  it('needs a radio in the kit', async () => {
    const found = await problemsOf(() => stationRadioOf(kitOf(kitText()).value, 'kit.yaml', 'a', []));
    expect(found).toMatchObject([{ code: 'link.radio', field: 'kit.radio' }]);
  });

  it('meets the data sheet: -137 dBm at SF12 and 125 kHz with 6 dB, no feeder, in the quiet', () => {
    // SX1262 data sheet as quoted; man-made noise of the quiet countryside at 868 MHz lies far below the receiver's own.
    const radio = RADIO.replace('spreadingFactor: 8', 'spreadingFactor: 12');
    const s = stationOf({ radio, antenna: '{ gain_dBi: 2, feederLoss_dB: 0 }' });
    expect(linkEnd(s, 0).sensitivity_dBm).toBeCloseTo(-137, 0);
  });

  it('a feeder weakens what arrives but does not raise the noise at the connector in the quiet', () => {
    const floor = (loss: number) =>
      receiverNoise(stationOf({ antenna: `{ gain_dBi: 2, feederLoss_dB: ${loss} }` })).floor_dBm;
    expect(floor(3)).toBeCloseTo(floor(0), 9);
    // -174 + 10 log 125,000 + 6 = -117.03 dBm.
    expect(floor(0)).toBeCloseTo(-117.03, 2);
  });

  it('a city is louder than the country, and a measured rise takes the place of both', () => {
    const at = (environment: Station['environment']) => receiverNoise(stationOf({}, { environment })).floor_dBm;
    // P.372: 44.3 - 12.3 log 868 = 8.2 dB at 900 MHz's edge; with 6.5 dB of receiver and feeder: 10 log(10^0.82 - 1 + 10^0.65) = 10.0 dB.
    expect(at('city') - at('quiet rural')).toBeCloseTo(3.5, 1);
    const rise = RADIO.replace(' }', ', noiseRise_dB: 10 }');
    const measured = stationOf({ radio: rise }, { environment: 'city' });
    expect(receiverNoise(measured).floor_dBm).toBeCloseTo(-107.03, 2);
  });

  it('a stick loses gain away from the horizon, an isotropic antenna does not', () => {
    const gain = (pattern: string, elevation: number) =>
      linkEnd(stationOf({ antenna: `{ gain_dBi: 6, pattern: ${pattern} }` }), elevation).gain_dBi;
    expect(gain('stick', 0)).toBe(6);
    // F.1336: width 107.6·10^-0.6 = 27.0 degrees; at half of it 3 dB less.
    expect(gain('stick', 13.514)).toBeCloseTo(3, 2);
    expect(gain('isotropic', 45)).toBe(6);
  });

  it('takes the mismatch at the carrier from the measured sweep of its kit', async () => {
    const golden = fileURLToPath(new URL('../golden/', import.meta.url));
    const antenna = '{ gain_dBi: 2, sweep: ant_ri.s1p }';
    const ports = (radio: string) => ({
      ...PORTS,
      readText: (path: string) =>
        path.endsWith('.s1p') ? PORTS.readText(path) : Promise.resolve(kitText({ radio, antenna })),
    });
    const read = await readStationRadio(ports(RADIO), `${golden}kit.yaml`, [], 'a', []);
    // The antenna's ratio at 868 MHz is 2.02721 (shared reference folder): |S11| = 0.33933, loss 0.5313 dB.
    expect(read.mismatchLoss_dB).toBeCloseTo(0.5313, 3);
    const far = RADIO.replace('868', '433');
    const found = await problemsOf(() => readStationRadio(ports(far), `${golden}kit.yaml`, [], 'a', []));
    expect(found).toMatchObject([{ field: 'kit.antenna.sweep' }]);
    expect(found[0]!.message).toContain('lies outside the sweep');
  });

  it('polarizations: none lost alike, half between linear and circular, 20 dB across', () => {
    expect(crossLoss_dB('vertical', 'vertical')).toBe(0);
    expect(crossLoss_dB('vertical', 'circular')).toBeCloseTo(3.0103, 4);
    expect(crossLoss_dB('horizontal', 'vertical')).toBe(20);
  });

  it('two settings cannot hear each other', async () => {
    const other = radioOf({ radio: RADIO.replace('spreadingFactor: 8', 'spreadingFactor: 9') });
    const found = await problemsOf(() => checkSameSetting(radioOf(), other));
    expect(found[0]!.message).toContain('they cannot hear each other');
    expect(() => checkSameSetting(radioOf(), radioOf({ radio: RADIO.replace('4/6', '4/8') }))).not.toThrow();
  });

  it('a hand-held has the setting of the other end', () => {
    const told: Assumption[] = [];
    const hand = handHeld(radioOf(), 'b', told);
    expect(hand).toMatchObject({ handHeld: true, power_dBm: 14, frequency_MHz: 868, gain_dBi: -2 });
    expect(told).toHaveLength(1);
  });

  it('a transmitter nearby raises the noise by 3 dB where it stands at the blocking limit, a filter takes that away', () => {
    // 868 MHz, 2 dBi, feeder 0.5 dB, weakest signal -127.03 dBm: at 80 dB above it, -47.03 dBm at the connector. Free space over 100 m at
    // 1800 MHz: 32.4 + 65.11 - 20 = 77.51 dB. So an e.i.r.p. of -47.03 + 77.51 - 2 + 0.5 = 28.98 dBm costs 3.01 dB.
    const near = { eirp_dBm: 28.98, distance_m: 100, frequency_MHz: 1800 };
    expect(coSitedRise_dB(radioOf(), near)).toBeCloseTo(3.01, 2);
    const filtered = radioOf({ radio: RADIO.replace(' }', ', filterRejection_dB: 40 }') });
    expect(coSitedRise_dB(filtered, near)).toBeLessThan(0.001);
    expect(coSitedRise_dB(radioOf(), { ...near, distance_m: 10 })).toBeCloseTo(20.04, 1);
  });

  it('only a cut ray makes a link obstructed', () => {
    expect((['clear', 'grazing', 'one edge', 'several edges'] as const).map(linkKind)).toEqual([
      'clear',
      'clear',
      'obstructed',
      'obstructed',
    ]);
  });
});
