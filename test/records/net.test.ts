import { describe, expect, it } from 'vitest';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { kindOf, readKit, readNet } from '../../src/records/index.ts';
import { example, toldBy } from './reading.ts';

const NET = `name: Ossel valley
radio: { frequency_MHz: 869.525, spreadingFactor: 8, bandwidth_kHz: 125, codingRate: 4/6 }
members:
  - { perch: hut-kaldra, kit: alder-3 }
  - { perch: rescue-post, kit: alder-3 }
`;
const told = (text: string) => toldBy(() => readNet(parseYamlRecord(text, 'net.yaml')));

describe('net', () => {
  it('names which kit stands at which perch', () => {
    const { value, assumptions } = readNet(parseYamlRecord(NET, 'net.yaml'));
    expect(value.members).toEqual([
      { perch: 'hut-kaldra', kit: 'alder-3' },
      { perch: 'rescue-post', kit: 'alder-3' },
    ]);
    expect(assumptions).toEqual([]);
  });

  it('tells its slips with their places', () => {
    expect(told(NET.replace('rescue-post', 'hut-kaldra'))).toEqual([
      'net.yaml:5:14: net.members[1].perch: perch hut-kaldra stands twice: it is member 1 already; delete one of the two [perch-twice]',
    ]);
    expect(told(NET.replace('125', '120'))[0]).toMatch(/^net\.yaml:2:\d+: net\.radio\.bandwidth_kHz: .*120/);
    expect(told(NET.replace('perch: rescue-post, ', ''))[0]).toMatch(
      /^net\.yaml:5:5: net\.members\[1\]\.perch: perch is missing/,
    );
    expect(told('name: Empty\nmembers: []\n')[0]).toMatch(/a net has at least one member/);
  });

  it('is told from kit and perch by its own keys', () => {
    const kinds = ['alder-3.yaml', 'bare-board.yaml', 'hut-kaldra.yaml', 'rescue-post.yaml'].map((file) =>
      kindOf(parseYamlRecord(example(file), file).value),
    );
    expect(kinds).toEqual(['kit', 'kit', 'perch', 'perch']);
    expect(kindOf(parseYamlRecord(NET, 'net.yaml').value)).toBe('net');
    expect(kindOf({ name: 'Bare name' })).toBeUndefined();
    expect(toldBy(() => readKit(parseYamlRecord(NET, 'net.yaml')))).toEqual([
      'net.yaml:1:1: kit: this file describes a net, but a kit is wanted here: are the two files exchanged? [wrong-record]',
    ]);
  });
});
