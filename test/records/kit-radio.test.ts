import { describe, expect, it } from 'vitest';
import { BANDWIDTHS_kHz } from '../../src/core/airtime/index.ts';
import { example, kitOf, kitText, perchOf, perchText, toldBy } from './reading.ts';

const RADIO = 'frequency_MHz: 868.3, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: 4/6, power_dBm: 14';
const withRadio = (radio: string, antenna = '{ gain_dBi: 2 }') => kitText({ radio: `{ ${radio} }`, antenna });

describe('radio and antenna of a kit', () => {
  it('may be absent, and are read where they are there', () => {
    expect(kitOf(kitText()).value.radio).toBeUndefined();
    expect(kitOf(withRadio(RADIO)).value).toMatchObject({
      radio: { frequency_MHz: 868.3, codingRate: '4/6' },
      antenna: { gain_dBi: 2 },
    });
    expect(kitOf(example('alder-3.yaml')).value.radio).toMatchObject({
      power_dBm: 14,
      spreadingFactor: 8,
      bandwidth_kHz: 125,
      codingRate: '4/6',
    });
  });

  it('take every bandwidth of the modulation as it is printed, and no other', () => {
    for (const b of BANDWIDTHS_kHz) {
      const printed = Math.floor(b * 10) / 10;
      expect(toldBy(() => kitOf(withRadio(RADIO.replace('bandwidth_kHz: 125', `bandwidth_kHz: ${printed}`))))).toEqual(
        [],
      );
    }
    expect(toldBy(() => kitOf(withRadio(RADIO.replace('bandwidth_kHz: 125', 'bandwidth_kHz: 126.5'))))).toEqual([
      expect.stringContaining('bandwidth_kHz is 126.5: the modulation knows 7.8, 10.4,'),
    ]);
  });

  it.each([
    ['spreadingFactor: 8', 'spreadingFactor: 4', 'a spreading factor lies between 5 and 12'],
    ['spreadingFactor: 8', 'spreadingFactor: 8.5', 'a spreading factor is a whole number'],
    ['codingRate: 4/6', 'codingRate: 4/9', 'wanted 4/5, 4/6, 4/7, 4/8'],
    ['codingRate: 4/6', 'codingRate: "4:6"', 'did you mean 4/6?'],
    ['frequency_MHz: 868.3', 'frequency_MHz: 868300000', 'in megahertz: 868300000 Hz is 868.3'],
    ['bandwidth_kHz: 125', 'bandwidth_kHz: 125000', 'in kilohertz: 125000 Hz is 125'],
    ['power_dBm: 14', 'power_dBm: 500', 'a transmit power lies between -20 and 36'],
    ['power_dBm: 14', 'power: 14', 'did you mean power_dBm?'],
    ['frequency_MHz: 868.3, ', '', 'frequency_MHz is missing: carrier frequency, MHz'],
  ])('%s as "%s" is told', (from, to, message) => {
    const told = toldBy(() => kitOf(withRadio(RADIO.replace(from, to))));
    expect(told.join('\n')).toContain(message);
    expect(told).toHaveLength(1);
  });

  it('an antenna is told its slips', () => {
    const told = (antenna: string) => toldBy(() => kitOf(withRadio(RADIO, antenna))).join('\n');
    expect(told('{ gain_dBi: 2, pattern: rod }')).toContain('pattern is the text "rod": wanted stick, isotropic');
    expect(told('{ gain_dBi: 2, vswr: 0.5 }')).toContain('a standing-wave ratio lies between 1 and 50');
    expect(told('{ gain: 2 }')).toContain('did you mean gain_dBi?');
  });

  it('a setting of the ratio takes the place of the measured sweep', () => {
    const text = withRadio(RADIO, '{ gain_dBi: 2, sweep: a.s1p }');
    expect(kitOf(text, ['kit.antenna.vswr=1.5']).value.antenna).toEqual({ gain_dBi: 2, vswr: 1.5 });
  });
});

describe('environment of a perch', () => {
  it('is one of four, none by default', () => {
    expect(perchOf(perchText()).value.environment).toBeUndefined();
    expect(perchOf(perchText({ environment: 'quiet-rural' })).value.environment).toBe('quiet-rural');
    expect(toldBy(() => perchOf(perchText({ environment: 'quiet rural' }))).join()).toContain(
      'did you mean quiet-rural?',
    );
  });
});
